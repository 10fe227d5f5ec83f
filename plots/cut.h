// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/quantity/quantity.h"
#include "plots/cut_geometry.h"
#endif
#include "plots/plot_palette.h"

#include <QFontMetricsF>
#include <QWidget>

#include <vector>

class QPainter;
class QVariantAnimation;

namespace portwright {

/// What moves at the cursor.
struct CutAtCursor {
    double coneTravel = 0;             ///< m peak
    std::vector<double> portAirSpeed;  ///< m/s peak by CutInput::ports
    bool operator==(const CutAtCursor&) const = default;
};

struct CutFace {
    double pixelsPerMm = 1;
    bool scaleBar = true, dimensions = false;  ///< dimensions: bore and length of ports, in the large cut
    bool words = false;                        ///< "outline assumed, volume true" below the drawing
    bool travel = false, arrows = true;        ///< cone at both ends of its travel; port air
    UnitSystem units = UnitSystem::metric;     ///< of the dimensions and the scale bar
};

/// Paints the cut with its bounds' top left at `at`.
void paintCut(QPainter& painter, const QPointF& at, const CutGeometry& geometry, const PlotPalette& palette,
              const CutFace& face, const CutAtCursor& cursor = {});

/// px that fit a geometry into a box, with room for the scale bar and dimensions asked for.
double fittingPixelsPerMm(const CutGeometry& geometry, const QSizeF& box, const CutFace& face,
                          const QFontMetricsF& metrics);
/// Size in px that paintCut covers.
QSizeF cutSize(const CutGeometry& geometry, const CutFace& face, const QFontMetricsF& metrics);

/// A cut as a widget. With setPixelsPerMm(0) it fills its space; cards share one scale by setting the same number.
class CutView : public QWidget {
    Q_OBJECT
public:
    explicit CutView(QWidget* parent = nullptr);

    void setCut(const CutGeometry& cut);
    void clearCut();
    void setCursor(const CutAtCursor& cursor);  ///< glides in 120 ms unless animations are off
    using QWidget::setCursor;
    void setFace(const CutFace& face);  ///< pixelsPerMm 0: fill the widget
    void setPixelsPerMm(double pixelsPerMm);
    void setPlotPalette(const PlotPalette& palette);
    void setReducedMotion(bool reduced);

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    std::optional<CutGeometry> cut_;
    CutAtCursor from_, shown_, target_;
    CutFace face_;
    PlotPalette palette_ = lightPalette();
    bool reduced_ = false;
    QVariantAnimation* glide_ = nullptr;
};

}  // namespace portwright
