// SPDX-License-Identifier: GPL-3.0-or-later
// Volume from simple solids, added and subtracted.
// Each solid stands on its base, whose centre is the origin of its own axes: height along the third, width along the
// first, breadth along the second. Axis z: width along x, breadth along y; axis x: y and z; axis y: z and x.
//   wedge      full height at -width/2, none at +width/2
//   cap        the half ellipsoid's base is the ellipse width x breadth, its top lies at the height
//   bent tube  starts along the height and bends towards +width, around the point at width = centre-line radius
#pragma once

#include "core/cavity/reading.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// Share of the volume that a shape built up from simple solids misses or adds, one standard deviation. Simple shapes
/// are good for 5 to 15 % (common practice, no source): the lower end, since what is cut off can be subtracted.
inline constexpr double solidsShapeUncertainty = 0.05;

/// One length of a solid as the volume depends on it.
struct SolidLength {
    std::string key;     ///< key in the project file, "top_width_mm"
    std::string name;    ///< for sentences, "top width"
    double value = 0;    ///< m; of a bent tube's angle: rad
    double slope = 0;    ///< dV/dlength, m2; angle: dV/d(arc of the centre line)
    bool length = true;  ///< false: the angle
    bool mayBeZero = false;
};

/// All lengths that make up a solid, in the order of the editor.
std::vector<SolidLength> lengthsOf(const Solid& solid);

/// Volume [m3]. Box w b h; wedge w b h/2; round frustum pi h (d^2 + d t + t^2)/12; rectangular frustum by the
/// prismatoid formula h/6 (A1 + 4 Am + A2), exact for any two centred rectangles; cylinder; half ellipsoid pi w b h/6;
/// bent tube pi d^2/4 R angle (Pappus).
/// Errors: a size that is no size (each 0.1 mm .. 10 m, a top may be 0), a bend tighter than the tube; field: key.
Result<double> volumeOf(const Solid& solid, UnitSystem units = UnitSystem::metric);

/// "Box", "Wedge", "Round frustum", "Rectangular frustum", "Cylinder", "Ellipsoid cap", "Bent tube".
std::string nameOf(const Solid& solid);

/// Whether a point [m] lies in a solid in its place; the surface counts as inside.
bool contains(const SolidStep& step, const Point3& point);

/// A box along the axes that holds the solid in its place, m.
struct SolidBounds {
    Point3 low{0, 0, 0}, high{0, 0, 0};
};
SolidBounds boundsOf(const SolidStep& step);

struct RunningLine {
    std::string name;            ///< as given, else "Box 1"
    double volume = 0;           ///< m3, below 0 where subtracted; 0 with an error
    double uncertainty = 0;      ///< m3, from its own lengths alone
    double total = 0;            ///< m3, up to and with this line
    std::optional<Error> error;  ///< what is wrong with its sizes; field "steps/2/width_mm"
};
std::vector<RunningLine> runningList(const SolidsMeasurement& solids, UnitSystem units = UnitSystem::metric);

/// The list worked out. Volumes in m3.
struct SolidsVolume {
    VolumeReading reading;
    std::vector<RunningLine> lines;
    double fromLengths = 0, fromShape = 0;  ///< the two parts of the standard uncertainty
};

/// Volumes add as signed. Uncertainty, in squares: the length uncertainty of each length, carried through its slope (a
/// length that enters a solid several times counts by the sum, a square's side twice); and 5 % for the shape. Nobody
/// measures the edge that two solids share twice: equal lengths of different solids are taken as one measured once
/// where that widens the result, and as independent where it does not.
/// Errors: no solids, a bad size, nothing left; field "steps" or "steps/2/width_mm".
Result<SolidsVolume> solidsVolume(const SolidsMeasurement& solids, UnitSystem units = UnitSystem::metric);

Result<VolumeReading> readingOf(const SolidsMeasurement& solids, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
