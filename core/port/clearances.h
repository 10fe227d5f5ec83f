// SPDX-License-Identifier: GPL-3.0-or-later
// What a cavity allows of a port: the straight run before its mouth, bends, the place for the opening, and what must
// stay clear. All m.
#pragma once

#include "core/port/port_tuning.h"
#include "core/quantity/quantity.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// One bore free before the inner mouth: common practice, no source.
inline constexpr double usualClearance = 1;

struct PortSpace {
    CavityRoom empty;  ///< net volume without the port
    std::optional<double>
        straight;                  ///< from the port's wall to the magnet or wall opposite; default the cavity's depth
    std::optional<double> across;  ///< for a run across after a bend, from the wall beside the port; default by the
                                   ///< cavity's sizes
    int mostBends = 1;             ///< of 90 degrees, 0 to 2: the second turns the port back to its own wall
    double wall = 0;               ///< housing's wall, part of the port's length
    double outside = 0;            ///< that the port may stand out beyond it
    std::optional<double> mouthWidth, mouthHeight;  ///< free place for the mouths; default the cavity's section
    double clearance = usualClearance;              ///< bores free before the inner mouth
    double between = 5e-3;                          ///< between two tubes
};

/// The run from the port's wall, default filled in. Where no sizes are known: the cube root of the volume. Across: of a
/// single tube that may stand anywhere.
double straightRun(const PortSpace& space);
double acrossRun(const PortSpace& space);
/// The run across for that port, its outline against the wall that it turns away from: measured, else the wider of
/// width and breadth. Several tubes in a row turn across the row, a slot over its flat side. Where the mouth's place is
/// given (x, y), as much of it as is beyond the mouth. 0: tubes in several rows and columns, which would meet.
double acrossRun(const PortOpening& port, const PortSpace& space);
double freeBefore(const PortOpening& port, const PortSpace& space);  ///< that must stay clear before the inner mouth

/// What the room allows one straight leg of a bent port, mouths and bends between them as its ends, flares included, m.
struct LegRoom {
    double shortest = 0, longest = 0;
};

/// Legs of a port with one or two right-angled bends, from the outer mouth in: through the wall and down, across, and
/// back. Empty where such bends do not go in, or the port is not bent so. `through`: of the port, in the wall and
/// outside it, before which no bend can be.
std::vector<LegRoom> legRoom(const PortOpening& port, double through, const PortSpace& space);

/// The legs of a port as it is made, as equal (flares left out) as the room lets them be. Nothing where legRoom is
/// empty or they do not fit.
std::optional<std::vector<double>> legsIn(const PortOpening& port, const PortSpace& space);

/// Legs as equal as can be, flares left out: where nothing is known of the room. Their sum and the bends' arcs are the
/// port's length.
std::vector<double> equalLegs(const PortOpening& port);

/// Where the outer mouth of a bent port has to be for its legs to have that run.
struct BentMouth {
    double fromWall = 0;                            ///< m, its middle from the wall that it turns away from
    bool alongWidth = false, alongBreadth = false;  ///< which way it runs on; neither: not known
};
/// Nothing for a straight port.
std::optional<BentMouth> bentMouthOf(const PortOpening& port, const PortSpace& space);
/// "27 mm from the wall that it turns away from, middle of the mouth to wall; it runs on along the width"
std::string wordsOf(const BentMouth& mouth, const std::string& fromWall);

/// The longest the port can be with that many right-angled bends of a centre-line radius, mouth to mouth, wall and what
/// may stand out included; 0 where such bends do not go in.
double longestPort(const PortOpening& port, int bends, double bendRadius, const PortSpace& space);

/// The shortest that those bends and the port's flares allow, 0 without bends; infinite where its legs cannot hold the
/// flares, or such bends do not go in. Of two bends the mouth ends a clearance before its own wall.
double shortestPort(const PortOpening& port, int bends, double bendRadius, const PortSpace& space);

/// A sentence without full stop where the mouths, flares and all, do not go into the place for them.
std::optional<std::string> whyNoPlace(const PortOpening& port, const PortSpace& space,
                                      UnitSystem units = UnitSystem::metric);

/// The port cut to a length with bends as it would be made: what of it is inside, how far the tubes stand apart, and
/// bent in a cavity of known sizes its mouth against the wall that it turns away from.
PortOpening madePort(PortOpening body, double length, int bends, double bendRadius, const PortSpace& space);

}  // namespace portwright
