// SPDX-License-Identifier: GPL-3.0-or-later
// A small software rasteriser for the turning scan: flat shaded triangles, z-buffered, no graphics card asked.
#pragma once

#include <QImage>
#include <QRgb>

#include <array>
#include <cstddef>
#include <cstdint>
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
    double turn = 0.6, tilt = 0.45;  ///< rad; tilt 0: from the side, pi/2: from above
    double zoom = 1;                 ///< 1: the whole mesh fits from every side
    bool operator==(const Orbit&) const = default;
};
/// Whole turns taken off, tilt kept within -pi/2..pi/2 and zoom within 0.5..40.
Orbit clamped(Orbit orbit);

/// Where points of a mesh lie in a picture: x and y [px, y downwards] and nearness [px, larger is nearer].
struct MeshProjection {
    std::array<std::array<double, 4>, 3>
        rows{};                 ///< x, y, nearness: three factors of a point's coordinates, and a shift
    double pixelsPerMetre = 0;  ///< 0: there is no mesh
    std::array<float, 3> operator()(const std::array<float, 3>& point) const;
};
/// The middle of the mesh's box lies in the middle of the picture, its farthest point from there stays within 92 % of
/// the shorter side however it is turned.
MeshProjection projectionOf(const DrawnMesh& mesh, const Orbit& orbit, int width, int height);

/// Colours from across the light to right into it.
struct MeshTones {
    QRgb dark = 0, light = 0;
    QRgb patchDark = 0, patchLight = 0, patchHatch = 0;  ///< the closed openings: tone and a screen hatch
    QRgb outline = 0;                                    ///< where the surface ends or steps
};

/// Draws over an image of Format_RGB32 and leaves `nearness` behind (width x height, -infinity where nothing is drawn).
/// Both sides of a face are drawn, the inner one darker. Triangles with an index past the points, or a corner that is
/// not finite, are left out. hatchStep: px between the lines of the hatch.
void rasterise(QImage& image, std::vector<float>& nearness, const DrawnMesh& mesh, const MeshProjection& projection,
               const MeshTones& tones, int hatchStep = 6);

}  // namespace portwright
