// SPDX-License-Identifier: GPL-3.0-or-later
// The stack of sections of a measured cavity, and its area over position below it on the same axis.
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "plots/cavity/cavity_drawing.h"
#include "plots/cavity/section_geometry.h"
#endif
#include "plots/plot_palette.h"

class QPainter;

namespace portwright {

struct SectionStackFace {
    UnitSystem units = UnitSystem::metric;
    int chosen = -1;       ///< section in accent, -1: none
    bool focused = false;  ///< 2 px frame
};

/// Paints stack and profile into a box; the painter's font is the body font. Fewer than two sections, or positions that
/// do not rise, give a sentence instead.
void paintSectionStack(QPainter& painter, const QRectF& box, const SectionsMeasurement& sections,
                       const PlotPalette& palette, const SectionStackFace& face);

/// A click, Left and Right, Home and End pick a section.
class SectionStackView : public CavityDrawing {
    Q_OBJECT
public:
    explicit SectionStackView(QWidget* parent = nullptr);

    void setSections(const SectionsMeasurement& sections);
    void setChosen(int section);  ///< emits nothing
    int chosen() const { return face_.chosen; }

signals:
    void sectionPicked(int section);

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

private:
    SectionsMeasurement sections_;
    SectionStackFace face_;

    void pick(int section);
    QString description() const override;
};

}  // namespace portwright
