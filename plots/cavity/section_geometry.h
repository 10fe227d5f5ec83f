// SPDX-License-Identifier: GPL-3.0-or-later
// Geometry of the stack of sections, free of pixels. m and m2.
#pragma once

#include "core/housing/measurement.h"

#include <QPolygonF>

#include <vector>

namespace portwright {

/// Closed outline of a section about its axis (x: width, y: height upwards), its box centred at 0. Area alone: a circle
/// of that area. The polygon's area is the section's within 0.1 % (curves in 96 chords, grown to the true area).
QPolygonF sectionOutline(const Section& section);
double drawnArea(const Section& section);  ///< areaOf(), 0 where it has an error

/// Cabinet projection: the axis runs to the right to scale, heights upwards to scale, widths back to the right at 45
/// degrees and half scale. Paper y points downwards. Equal lengths along the axis and upwards stay equal.
QPointF cabinet(double at, double width, double height);

/// A curve of area [m2] over position [m].
struct AreaCurve {
    std::vector<double> at, area;
};
/// Through the sections' areas: straight (the trapezoid's rule), and as simpson() of core/cavity/sections.h takes them:
/// parabolas through each three, an odd number of steps ends with the cubic through the last four. Under each curve
/// lies exactly the volume of its rule. Empty unless drawable(); Simpson's from three sections on.
AreaCurve trapezoidCurve(const SectionsMeasurement& sections);
AreaCurve simpsonCurve(const SectionsMeasurement& sections, int stepsPerInterval = 12);

/// From..to of the whole body along the axis, caps included.
struct AxisExtent {
    double from = 0, to = 0;
};
AxisExtent axisExtent(const SectionsMeasurement& sections);

/// Whether there is a stack to draw: two sections at least, positions rising, everything finite.
bool drawable(const SectionsMeasurement& sections);

}  // namespace portwright
