// SPDX-License-Identifier: GPL-3.0-or-later
// The one geometry that a printed port and the template of its hole share.
//
// Seen along the port, every outline is the bore's outline moved outward by an offset: a circle becomes a wider circle,
// a slot's rectangle one with corners rounded by the offset. z runs from the outer mouth (0) to the inner one.
#pragma once

#include "core/housing/housing.h"
#include "core/parts/part_options.h"
#include "core/result.h"

#include <array>
#include <vector>

namespace portwright {

using Point2 = std::array<double, 2>;

struct PortBody {
    PortShape shape = PortShape::round;
    double radius = 0;                      ///< m, of the bore; slot: 0
    double halfWidth = 0, halfHeight = 0;   ///< m, of the bore; round: 0
    double length = 0;                      ///< m
    double wall = 0;                        ///< m
    double outerFlare = 0, innerFlare = 0;  ///< m
    double flange = 0;                      ///< m, thickness; 0: none
    double hole = 0;                        ///< m, offset of the hole in the cavity's wall
    double screw = 0, rim = 0;              ///< m, offsets of screw centres and of the flange's rim; 0 without flange
    double screwRadius = 0;                 ///< m
    std::vector<Point2> screws;             ///< m, centres
};

/// The printed port. The hole lets through all that stands behind the flange, inner flare included; without a flange
/// the smaller of both ends. A port has a flange if it is wanted and its outer end is flush.
/// Errors: checkPort's and checkOptions'; a bent port; a port shorter than its flange; walls shared with the cavity.
Result<PortBody> printedBody(const PortOpening& port, const PartOptions& options);

/// Offset of the outside at a height z above the mouth of a flare of this radius: the wall follows the flare, and ends
/// in a flat edge as high as the wall is thick.
double outsideOfFlare(double flare, double wall, double z);
/// Offset of the bore there: a quarter circle.
double boreOfFlare(double flare, double z);

/// Area inside the outline at an offset [m2]; a slot's by Steiner's formula.
double outlineArea(const PortBody& body, double offset);
double outlineHalfAcross(const PortBody& body, double offset);  ///< m, half the width

}  // namespace portwright
