// SPDX-License-Identifier: GPL-3.0-or-later
// A small software rasteriser for the turning scan: flat shaded triangles, z-buffered, no graphics card asked.
#pragma once

#include <QImage>
#include <QPointF>
#include <QRgb>

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace portwright {

/// What is drawn of a mesh, m.
struct DrawnMesh {
    std::vector<std::array<float, 3>> points;
    std::vector<std::array<std::uint32_t, 3>> triangles;  ///< counter-clockwise from outside
    std::size_t patchFrom = std::size_t(-1);              ///< triangles from here on close openings
};

/// How it is looked at: turned about the upright z axis, then tilted towards the viewer; parallel projection.
struct Orbit {
    double turn = 0.6, tilt = 0.45;  ///< rad; tilt is kept within -pi/2..pi/2
    double zoom = 1;                 ///< 1: the whole mesh fits from every side
    bool operator==(const Orbit&) const = default;
};

/// Screen place [px, y downwards] and nearness [px, larger is nearer] of points of a mesh in a picture.
struct MeshProjection {
    std::array<std::array<float, 4>, 3> rows{};  ///< affine: x, y, nearness
    double pixelsPerMetre = 1;
    std::array<float, 3> operator()(const std::array<float, 3>& p) const;
};
MeshProjection projectionOf(const DrawnMesh& mesh, const Orbit& orbit, int width, int height);

struct MeshTones {
    QRgb background = 0, light = 0, dark = 0;  ///< of faces towards and across the light
    QRgb patchLight = 0, patchDark = 0;        ///< of the closed openings
    QRgb inside = 0;                           ///< back faces
};

/// Draws into an image of Format_RGB32, and into `nearness` (width x height, -infinity where nothing is). Triangles
/// with an index past the points or a place that is not finite are left out.
void rasterise(QImage& image, std::vector<float>& nearness, const DrawnMesh& mesh, const MeshProjection& projection,
               const MeshTones& tones);

}  // namespace portwright
