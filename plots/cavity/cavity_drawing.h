// SPDX-License-Identifier: GPL-3.0-or-later
// What the drawings of a cavity have in common as widgets: units, palette, sizes in ems, keyboard focus, and a
// description in words that follows what is shown.
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/quantity/quantity.h"
#endif
#include "plots/plot_palette.h"

#include <QSize>
#include <QWidget>

#include <optional>

class QKeyEvent;

namespace portwright {

class CavityDrawing : public QWidget {
    Q_OBJECT
public:
    void setUnits(UnitSystem units);
    void setPlotPalette(const PlotPalette& palette);

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

protected:
    /// Sizes in px of the drawings, made at 12 px.
    CavityDrawing(const QString& accessibleName, const QSize& usual, const QSize& least, QWidget* parent);

    UnitSystem units() const { return units_; }
    const PlotPalette& plotPalette() const { return palette_; }

    /// What is shown, for those who hear it.
    virtual QString description() const = 0;
    /// To be called wherever something else is to be shown.
    void shownAnew();

    void changeEvent(QEvent* event) override;

private:
    UnitSystem units_ = UnitSystem::metric;
    PlotPalette palette_ = lightPalette();
    QSize usual_, least_;
};

/// The item of a list that a key goes to from `now` (-1: none): arrows by one, Home, End; nothing: another key or an
/// empty list.
std::optional<int> itemByKey(const QKeyEvent& event, int now, int count);

}  // namespace portwright
