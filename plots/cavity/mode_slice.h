// SPDX-License-Identifier: GPL-3.0-or-later
// A slice through the pressure of a cavity's mode on its grid of cells. Pure functions.
#pragma once

#include "core/housing/measurement.h"

#include <QLineF>
#include <QRectF>
#include <QVector>

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

namespace portwright {

/// One mode on a grid of cells, numbered as in core/cavity/voxels.h: cell (i, j, k) at i + size[0] (j + size[1] k).
struct ModeField {
    double frequency = 0;              ///< Hz
    double cell = 0;                   ///< m, edge of a cell
    std::array<int, 3> size{};         ///< cells along x, y, z
    Point3 origin{0, 0, 0};            ///< m, outer corner of cell (0, 0, 0)
    std::vector<std::uint8_t> inside;  ///< 0 or 1 a cell
    std::vector<float> pressure;       ///< a cell, any scale; read where inside
};
bool consistent(const ModeField& field);  ///< sizes agree, cells above 0, everything finite where inside

/// A plane of cells across one axis. On paper: across x: y right, z up; across y: x right, z up; across z: x right, y
/// up.
struct ModeSlice {
    int columns = 0, rows = 0;         ///< row 0 is lowest
    std::vector<std::uint8_t> inside;  ///< column + columns row
    std::vector<float> pressure;       ///< -1..1 by the greatest in the whole cavity
    QRectF box;                        ///< m, y upwards, of the plane's cells
};
ModeSlice sliceOf(const ModeField& field, SolidAxis across, int layer);
int layersOf(const ModeField& field, SolidAxis across);
int layerAt(const ModeField& field, SolidAxis across, double place);  ///< of a place in m along that axis, clamped
QPointF onSlice(SolidAxis across, const Point3& place);               ///< m, y upwards

/// Pressure at a place, -1..1 by the greatest in the cavity; of the nearest cell within two, else nothing.
std::optional<double> pressureAt(const ModeField& field, const Point3& place);

/// Where the pressure is zero: line pieces between cell centres, m on the slice (y upwards). Neighbours outside take
/// the pressure of the cell beside them, since a hard wall has none of its gradient.
QVector<QLineF> nodeLine(const ModeSlice& slice);
/// The wall: edges between cells inside and outside, m on the slice.
QVector<QLineF> wallLine(const ModeSlice& slice);

}  // namespace portwright
