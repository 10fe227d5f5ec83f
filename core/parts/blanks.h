// SPDX-License-Identifier: GPL-3.0-or-later
// What has to be cut to make a port from tube or from panels.
#pragma once

#include "core/housing/housing.h"
#include "core/parts/cut_list.h"
#include "core/parts/part_options.h"
#include "core/result.h"

#include <string>
#include <vector>

namespace portwright {

/// Whether parts can be made of a port at all. Errors: a size that is not above 0 or not finite, a negative length,
/// flares and bends that together are longer than the port, a bend tighter than half the bore or wider than 3 m, count
/// or shared walls out of range; the field names the key.
Result<void> checkPort(const PortOpening& port);

/// m between the mouths without flares and bends, all straight pieces together.
double lengthOfStraights(const PortOpening& port);

struct BendBlank {
    double angle = 0;   ///< rad
    double radius = 0;  ///< m, centre line
    double length = 0;  ///< m, along the centre line
};

/// Pieces of all `count` ports.
struct TubeBlanks {
    double bore = 0, wall = 0;              ///< m
    std::vector<CutPiece> straights;        ///< from stock tube; the one at the inner end is longer by what is cut long
    std::vector<BendBlank> bends;           ///< of one port
    double outerFlare = 0, innerFlare = 0;  ///< m, of one port; parts of their own, 0: none
    int ports = 1;
};
/// Straights between bends are the legs of a LegPlan without flares, or equal. Errors: those of checkPort, a slot, no
/// length.
Result<TubeBlanks> tubeBlanks(const PortOpening& port, const PartOptions& options,
                              const std::vector<double>& legs = {});

struct Panel {
    std::string name;              ///< "broad wall"
    double width = 0, length = 0;  ///< m, finished; length along the port
    int count = 1;
};
struct PanelBlanks {
    std::vector<Panel> panels;             ///< flat, of all `count` ports
    std::vector<CutPiece> strips;          ///< the same as widths to rip from a sheet, see panelPlans
    std::vector<std::string> shapedParts;  ///< of one port, sentences: bent strips, ring sectors, quarter rounds
};
/// Shared walls are a broad one first, then one side, then the other. Broad panels lie over the edges of the sides, so
/// they are wider by one thickness for each side of their own. Bends turn about the slot's width, and of its broad
/// walls a shared one is the outer. Errors: those of checkPort, a round port, no length.
Result<PanelBlanks> panelBlanks(const PortOpening& port, const PartOptions& options,
                                const std::vector<double>& legs = {});

/// Panels of one length are ripped side by side from sheets at least that wide, kerf between them.
struct SheetPlan {
    double across = 0;  ///< m, length of these panels: the sheet is at least so wide
    std::vector<CutPiece> pieces;
    CutPlan plan;
};
Result<std::vector<SheetPlan>> panelPlans(const PanelBlanks& blanks, const PartOptions& options);

}  // namespace portwright
