// SPDX-License-Identifier: GPL-3.0-or-later
// The turning scan with its closed openings marked.
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/mesh/scan.h"
#include "plots/cavity/cavity_drawing.h"
#include "plots/cavity/mesh_raster.h"
#endif
#include "plots/plot_palette.h"

#include <QImage>
#include <QStringList>

#include <vector>

class QPainter;

namespace portwright {

struct MarkedOpening {
    Point3 centre{0, 0, 0};  ///< m
    double area = 0;         ///< m2
    QString place;           ///< "high on the +x side"
};

struct ScanPicture {
    DrawnMesh mesh;
    std::vector<MarkedOpening> openings;  ///< tagged 1, 2, 3 ... in this order
};

/// Of a scan that was read; more than 30 000 triangles are reduced, so that it turns under the hand.
ScanPicture scanPictureOf(const Scan& scan);

/// "1: 133 cm², high on the +x side", one an opening: the list below the picture and the accessible description.
QStringList openingLines(const ScanPicture& scan, UnitSystem units);

struct ScanFace {
    UnitSystem units = UnitSystem::metric;
    int chosen = -1;       ///< opening with a filled tag, -1: none
    bool focused = false;  ///< 2 px frame
    bool list = true;      ///< the openings' lines below the picture
};

/// Paints the scan into a box, through an image of its own at the device's pixel ratio.
void paintScan(QPainter& painter, const QRectF& box, const ScanPicture& scan, const Orbit& orbit,
               const PlotPalette& palette, const ScanFace& face);

/// Dragged with the mouse; arrows turn by 15 degrees (Shift: 1), plus, minus and the wheel zoom, double click or Home
/// fits, a click on a tag or a number key picks an opening.
class ScanView : public CavityDrawing {
    Q_OBJECT
public:
    explicit ScanView(QWidget* parent = nullptr);

    void setScan(ScanPicture scan);
    void clearScan();
    void setOrbit(const Orbit& orbit);
    const Orbit& orbit() const { return orbit_; }
    void setChosen(int opening);  ///< emits nothing
    int chosen() const { return face_.chosen; }

signals:
    void openingPicked(int opening);

protected:
    void paintEvent(QPaintEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void mouseDoubleClickEvent(QMouseEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

private:
    ScanPicture scan_;
    Orbit orbit_;
    ScanFace face_;
    QPointF pressed_, last_;
    bool dragged_ = false;

    void turn(double by, double tilt);
    void zoom(double factor);
    void pick(int opening);
    QString description() const override;
};

}  // namespace portwright
