// SPDX-License-Identifier: GPL-3.0-or-later
// Pressure of a cavity's mode on a slice.
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "plots/cavity/cavity_drawing.h"
#include "plots/cavity/mode_slice.h"
#endif
#include "plots/plot_palette.h"

#include <QString>

#include <vector>

class QPainter;

namespace portwright {

struct MarkedPlace {
    Point3 at{0, 0, 0};   ///< m
    bool driver = false;  ///< a cone, else a port
    QString name;         ///< "driver", "port 1"
};

struct ModesFace {
    UnitSystem units = UnitSystem::metric;
    SolidAxis across = SolidAxis::y;
    double position = 0.5;  ///< of the slice along its axis, 0..1
    int number = 1;         ///< of the mode, for the title
    bool focused = false;
};

/// Paints title, slice and scale bar into a box. Positive pressure: tone; negative: tone and hatch; the node line 2 px.
/// Places beside the slice are drawn open with dashes, in it filled.
void paintMode(QPainter& painter, const QRectF& box, const ModeField& field, const std::vector<MarkedPlace>& places,
               const PlotPalette& palette, const ModesFace& face);

/// Left and Right move the slice by a cell, Up and Down turn it to the next axis, Home and End go to its ends.
class ModesView : public CavityDrawing {
    Q_OBJECT
    Q_PROPERTY(double position READ position WRITE setPosition NOTIFY positionChanged)
public:
    explicit ModesView(QWidget* parent = nullptr);

    void setMode(ModeField field, int number);  ///< number from 1, for the title; keeps slice and places
    void clearMode();
    void setPlaces(std::vector<MarkedPlace> places);
    void setAcross(SolidAxis axis);
    SolidAxis across() const { return face_.across; }
    void setPosition(double position);  ///< 0..1, clamped
    double position() const { return face_.position; }

signals:
    void positionChanged(double position);
    void acrossChanged(SolidAxis axis);

protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;

private:
    ModeField field_;
    std::vector<MarkedPlace> places_;
    ModesFace face_;

    ModesFace face() const;
    QString description() const override;
};

}  // namespace portwright
