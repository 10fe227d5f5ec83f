// SPDX-License-Identifier: GPL-3.0-or-later
// The running list of solids, drawn to scale as an axonometric wire drawing.
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "plots/cavity/cavity_drawing.h"
#include "plots/cavity/solid_lines.h"
#endif
#include "plots/plot_palette.h"

class QPainter;

namespace portwright {

struct SolidsFace {
    UnitSystem units = UnitSystem::metric;
    int chosen = -1;       ///< step in accent, -1: none
    bool focused = false;  ///< 2 px frame
};

/// Paints the solids into a box with a scale bar and the axes; the painter's font is the body font. Added solids:
/// visible lines solid, hidden ones dashed. Subtracted ones: dashed and hatched.
void paintSolids(QPainter& painter, const QRectF& box, const SolidsMeasurement& solids, const SolidsDrawing& drawing,
                 const PlotPalette& palette, const SolidsFace& face);

/// A click picks the step under it (again: the one behind it), Up and Down, Home and End pick by the list.
class SolidsView : public CavityDrawing {
    Q_OBJECT
public:
    explicit SolidsView(QWidget* parent = nullptr);

    void setSolids(const SolidsMeasurement& solids);
    void setChosen(int step);  ///< emits nothing
    int chosen() const { return face_.chosen; }

signals:
    void stepPicked(int step);

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

private:
    SolidsMeasurement solids_;
    SolidsDrawing drawing_;
    SolidsFace face_;

    void pick(int step);
    QString description() const override;
};

}  // namespace portwright
