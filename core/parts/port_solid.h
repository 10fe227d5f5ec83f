// SPDX-License-Identifier: GPL-3.0-or-later
// A port for the printer: closed triangle meshes.
#pragma once

#include "core/mesh/mesh.h"
#include "core/parts/port_body.h"
#include "core/result.h"

#include <string>
#include <vector>

namespace portwright {

/// One piece as it stands on the printer's bed: z from 0 up, axis of its lower mouth through x = y = 0, a bend turning
/// towards +y (turned: -y).
struct PrintedPiece {
    Mesh mesh;            ///< m, closed, outward
    double from = 0;      ///< m along the port, from its outer mouth: where the piece's outside begins...
    double to = 0;        ///< m: ... and ends, without the lip
    double height = 0;    ///< m, lip included
    bool turned = false;  ///< stands on the inner mouth instead of the outer
    int tubes = 1;        ///< on its flange
};

/// Of two pieces: a lip of the first goes into a recess of the second. Between them is lipClearance, at the lip's end
/// as around it.
struct LipJoint {
    double lip = 0;     ///< m, offset of the lip's outside: the inner half of the wall
    double recess = 0;  ///< m, offset of the recess around it
    double height = 0;  ///< m, of the lip
    double depth = 0;   ///< m, of the recess
};
LipJoint lipJoint(const PortBody& body, const PartOptions& options);

/// Places [m along the port from its outer mouth] at which it is split, none if it fits the printer: as few and as
/// equal pieces as there can be, flares, flange and bends whole, lips in straight legs only. A piece stands on its
/// outer end, the last also on its inner mouth. Errors: flare, flange, bend and lip higher than the printer; a wall
/// under 2 mm, too thin for a lip.
Result<std::vector<double>> splitHeights(const PortBody& body, const PartOptions& options);

/// The pieces from the outer end to the inner; of several tubes on one flange those behind the first piece are for one
/// tube. Facets: as many around as keep the widest outline within the chord tolerance; a circle's polygon has the
/// circle's area, so that the bore is exact; a flare's steps stay within the tolerance, and a bend's (unless edges on
/// its inside came under 30 um). Corners lie on a grid of 0.1 um, which single precision of an STL file keeps apart.
/// Errors: those of splitHeights.
Result<std::vector<PrintedPiece>> printedPieces(const PortBody& body, const PartOptions& options);

/// The outline at an offset as a polygon, counterclockwise, from +x on; the same number of corners at each offset.
/// widest: the offset that the chord tolerance holds for.
std::vector<Point2> outlinePolygon(const PortBody& body, double offset, double widest, double chord);

}  // namespace portwright
