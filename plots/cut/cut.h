// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/quantity/quantity.h"
#include "plots/cut/cut_geometry.h"
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
    void setLengthsDraggable(bool draggable);  ///< by the inner ends of the ports; default not

    /// px, the middle of the inner end of a port's first tube; none if it is not drawn. For tests.
    std::optional<QPointF> innerEndOf(std::size_t port) const;
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

signals:
    void lengthDragged(std::size_t port, double length);  ///< index in CutInput::ports, m; while the hand moves
    void lengthDropped(std::size_t port, double length);
    void dragGivenUp();  ///< Esc: all is as it was

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    bool event(QEvent* event) override;

private:
    /// The inner end of a tube on the screen.
    struct InnerEnd {
        std::size_t port = 0;
        QPointF at, inwards;  ///< px; a unit vector
        double half = 0;      ///< px
        double length = 0;    ///< m, of the port
    };
    struct Drag {
        InnerEnd end;
        QPointF from;
        double pixelsPerMm = 1, length = 0;
    };
    CutFace fittedFace() const;
    QFont smallFont() const;
    std::vector<InnerEnd> innerEnds() const;
    const InnerEnd* endAt(const std::vector<InnerEnd>& ends, const QPointF& at) const;
    void endDrag();

    std::optional<CutGeometry> cut_;
    std::optional<Drag> drag_;
    bool draggable_ = false;
    CutAtCursor from_, shown_, target_;
    CutFace face_;
    PlotPalette palette_ = lightPalette();
    bool reduced_ = false;
    QVariantAnimation* glide_ = nullptr;
};

}  // namespace portwright
