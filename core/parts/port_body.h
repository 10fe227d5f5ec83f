// SPDX-License-Identifier: GPL-3.0-or-later
// The one geometry that a printed port and the template of its hole share.
//
// Seen along the port, every outline is the bore's outline moved outward by an offset: a circle becomes a wider circle,
// a slot's rectangle one with corners rounded by the offset. z runs from the outer mouth (0) to the inner one.
#pragma once

#include "core/housing/housing.h"
#include "core/parts/part_options.h"
#include "core/result.h"

#include <vector>

namespace portwright {

/// A bend about the width: its centre line turns towards +y.
struct BodyBend {
    double from = 0;  ///< m along the centre line from the outer mouth, where it begins
    double angle = 0, radius = 0;
    double to() const { return from + angle * radius; }
};

struct PortBody {
    PortShape shape = PortShape::round;
    double radius = 0;                      ///< m, of the bore; slot: 0
    double halfWidth = 0, halfHeight = 0;   ///< m, of the bore; round: 0
    double length = 0;                      ///< m, along the centre line, what is cut long included
    double wall = 0;                        ///< m
    double outerFlare = 0, innerFlare = 0;  ///< m
    double flange = 0;                      ///< m, thickness; 0: none
    double hole = 0;                        ///< m, offset of the hole in the cavity's wall
    double screw = 0, rim = 0;              ///< m, offsets of screw centres and of the flange's rim; 0 without flange
    int tubes = 1;                          ///< on one flange, in a row along x about its middle; 1 without flange
    double spacing = 0;                     ///< m between their centres
    double screwRadius = 0;                 ///< m
    std::vector<Point2> screws;             ///< m, centres
    std::vector<BodyBend> bends;            ///< from the outer mouth in

    double tubeAt(int tube) const { return (tube - (tubes - 1) / 2.0) * spacing; }  ///< m, x of its centre
};

/// The section at a length along the centre line: where its centre is (x is 0), and how far it is turned about x.
struct BodyFrame {
    double y = 0, z = 0;  ///< m
    double turn = 0;      ///< rad, heading from +z towards +y
    std::array<double, 3> at(const Point2& inSection) const;
};
BodyFrame frameAt(const PortBody& body, double along);

/// The printed port, straight or bent, its bends between the legs given (m, of a LegPlan; none: equal ones). What is
/// cut long is added at its inner end unless that is flared: a flare in one piece with the port cannot be trimmed. The
/// hole lets through all that stands behind the flange, inner flare included; without a flange the smaller of both
/// ends. A port has a flange if it is wanted and its outer end is flush; tubes side by side whose flanges would overlap
/// at the spacing of the file stand on one, its screws around all of them. Errors: checkPort's and checkOptions'; bends
/// too tight for the wall, turning by more than half a turn, too near the flange, or leading back into it or a flare; a
/// port shorter than its flange; walls shared with the cavity; tubes that touch; screws too close, or around a slot a
/// number that is odd or below 4.
Result<PortBody> printedBody(const PortOpening& port, const PartOptions& options, const std::vector<double>& legs = {});

/// Offset of the outside at a height z above the mouth of a flare of this radius: the wall follows the flare, and ends
/// in a flat edge as high as the wall is thick.
double outsideOfFlare(double flare, double wall, double z);
/// Offset of the bore there: a quarter circle.
double boreOfFlare(double flare, double z);

/// Area inside the outline at an offset [m2]; a slot's by Steiner's formula.
double outlineArea(const PortBody& body, double offset);

/// What the outlines of the flange are offsets of: the bore's rectangle, with several tubes one around all bores. The
/// bore of a round port is a point, that of several a line, and offsets are greater by its radius.
struct FlangeCore {
    double halfWidth = 0, halfHeight = 0;  ///< m
    double radius = 0;                     ///< m
    double area(double offset) const;      ///< m2 inside the outline at an offset from the bore
    double around(double offset) const;    ///< m along it
    bool round() const { return halfWidth == 0 && halfHeight == 0; }
};
FlangeCore flangeCore(const PortBody& body);

}  // namespace portwright
