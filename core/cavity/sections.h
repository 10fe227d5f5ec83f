// SPDX-License-Identifier: GPL-3.0-or-later
// Volume and shape from cross-sections along an axis.
#pragma once

#include "core/cavity/reading.h"

#include <span>

namespace portwright {

/// Area [m2] of a section. Rectangle w h; rounded w h - (4 - pi) r^2; ellipse pi w h/4; d (half an ellipse on its flat
/// side w) pi w h/4; triangle w h/2; outline by the shoelace sum, positive whichever way round.
/// Errors: a size that is no size; corners larger than half a side; an outline of less than three points, without area,
/// or one that crosses itself. Field: the section's key ("corner_mm").
Result<double> areaOf(const Section& section);

/// Perimeter [m] of a section that areaOf accepts; a triangle is taken as isosceles, an ellipse by the complete
/// elliptic integral. 0 where only the area is known.
double perimeterOf(const Section& section);

/// Integral of values y over rising positions x (at least two) by parabolas through three neighbours: Simpson's rule
/// for any spacing, exact on quadratics, and on cubics where the steps of each pair are even. With an odd number of
/// steps the last three are taken by the cubic through their four points; a single step by the trapezoid.
double simpson(std::span<const double> x, std::span<const double> y);
double trapezoid(std::span<const double> x, std::span<const double> y);
/// The square root of y runs straight between two positions: frustums of similar ends, h/3 (A1 + A2 + sqrt(A1 A2)).
double cones(std::span<const double> x, std::span<const double> y);

/// A table of sections worked out. Volumes in m3.
struct SectionsVolume {
    VolumeReading reading;
    std::vector<double> areas, perimeters;         ///< m2 and m, one for each section
    double simpson = 0, trapezoid = 0, cones = 0;  ///< between first and last section
    double firstCap = 0, lastCap = 0;
    double fromRules = 0, fromLengths = 0;  ///< the two parts of the standard uncertainty
    Profile profile;                        ///< with the caps, positions from the first end
};

/// Volume by Simpson's rule plus end caps (dome 2/3 A h, point 1/3 A h). Two sections of the same shape are joined by
/// straight lines: Simpson with the section half-way, exact for pyramids, wedges and frustums.
/// Uncertainty, in squares: the range between the three rules as a rectangle (range/sqrt(12)); and the length
/// uncertainty of each width, height, corner, point, position and cap height, independent of one another.
/// Errors: fewer than two sections, positions that do not rise, or what areaOf refuses; field "sections/2/at_mm".
Result<SectionsVolume> sectionsVolume(const SectionsMeasurement& sections, UnitSystem units = UnitSystem::metric);

Result<VolumeReading> readingOf(const SectionsMeasurement& sections, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
