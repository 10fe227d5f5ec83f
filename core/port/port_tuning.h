// SPDX-License-Identifier: GPL-3.0-or-later
// The tuning of a port in its cavity, both as lines: waves in the port, waves in the cavity's air along the port's
// axis, and ends that know walls, corners, flares and neighbours. Fast, without a network. SI throughout.
// Within 0.5 % of finite-element results (tests/data/port_tuning.csv), rms 0.09 %; flush ports and shelf slots within
// 0.2 %, short flares on tubes that reach inside are the worst. Slots that stand inside with 0 to 2 shared walls:
// within 0.5 %, rms 0.22 % (slot_tuning.csv); a shelf that ends nearer to the wall opposite than half the section's
// height: within 1 %. Nearer to the wall opposite than 0.4 radii an end adds what the static flow through the ring that
// is left does (finite volumes; 0.03 of the radius). Which ports were compared: knownAccuracy().
#pragma once

#include "core/air/air.h"
#include "core/housing/housing.h"
#include "core/network/network.h"
#include "core/port/ends.h"
#include "core/port/geometry.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// The box that a cavity is taken for, x and y across the port's axis. What is 0 is not known: a missing size follows
/// from the volume, and where none is known the box is compact, as deep as the cube root of its volume but at least one
/// bore deeper than the port reaches in, with a round (for slots a square) section.
struct CavityRoom {
    double netVolume = 0;                      ///< m3, the air left with the port in place
    double width = 0, breadth = 0, depth = 0;  ///< m
    double fill = 1;                           ///< 1 adiabatic .. 1.4 isothermal
};
CavityRoom roomOf(const Cavity& cavity);  ///< netVolume as given, 0 if only measured
bool sizesKnown(const CavityRoom& room);  ///< all that matter: two of the three

/// A port in its cavity, ready for the equation of lines
///   [Zp tan(kp L + atan(Xo/Zp)) + k di]/S = 1/[A tan(k d) + A1 tan(k P)],
/// the air of the cavity in front of the inner mouth (d, A) and beside the tube (P, A1). The section A is such that all
/// air together is the net volume: depth is kept, width and breadth give way.
struct PortInCavity {
    double S = 0;  ///< m2, all tubes
    int count = 1;
    double radius = 0;              ///< m, of one tube: sqrt(area/pi)
    double slotHeight = 0;          ///< m, > 0: walls of a slot
    double length = 0;              ///< m, mouth to mouth, bends' shortening taken off
    InnerEnd inner;                 ///< flare and all
    OuterEnd outer;                 ///< flare, neighbours and all
    double A = 0, d = 0;            ///< m2, m: before the inner mouth
    double A1 = 0, P = 0;           ///< m2, m: beside the tube
    double width = 0, breadth = 0;  ///< m, of the section A
    double fill = 1;
    bool wallLayer = true;  ///< the viscous layer's mass and spring count: not beside a given loss
    Air air;
};
/// `known`: modes' sums kept from one call to the next, where many ports are placed.
PortInCavity portInCavity(const PortOpening& port, const CavityRoom& room, const Air& air, ModeSums* known = nullptr);

/// Several ports in one wall: each with its share of the section, by area, unless its place is given; the air's section
/// and depth are the same for all. A1 and P are each port's own as if it were alone.
std::vector<PortInCavity> portsInCavity(const std::vector<PortOpening>& ports, const CavityRoom& room, const Air& air);

/// The ends alone, in a cavity of any shape. Inner: the section before the mouth [m2], the air's depth before it, how
/// far the tube reaches in [m] and the air's volume [m3]; without given places round, for slots square.
InnerEnd innerEndOf(const PortOpening& port, double section, double depth, double inside, double volume);
OuterEnd outerEndOf(const PortOpening& port);

/// The parallel resonance of port and cavity, Hz: the lowest root, losses left out (they move it by 1/(2 Q^2) of it).
double tuningOf(const PortInCavity& port);

/// The port's own lowest resonance, Hz: half a wave from mouth to mouth with both ends.
double pipeResonanceOf(const PortInCavity& port);
double pipeResonanceOf(const PortLine& port, const Air& air);

/// Tuning by the textbook sums (0.6133 and 0.8217 of the radius, one spring, one mass) and as above, Hz.
struct TwoTunings {
    double textbook = 0, reckoned = 0;
};
TwoTunings tuningsOf(const PortOpening& port, const CavityRoom& room, const Air& air);

/// How far the tuning may be off because sizes are not known, relative (0.02 is 2 %): the largest deviation over boxes
/// of the same volume whose depth is 0.6 to 2.65 times the radius of their section, as far as the port fits. 0 where
/// the sizes are known.
double assumedShapeSpread(const PortOpening& port, const CavityRoom& room, const Air& air);

/// What is known of how right the tuning is, part of a sentence: how near to finite-element results ports of its kind
/// came, or what sets this one apart from all that were compared (bends, more than two tubes, a mouth that takes nearly
/// the whole section or is near to the wall before it, very wide flares and very flat slots).
std::string knownAccuracy(const PortOpening& port, const CavityRoom& room);

/// The port cut to another length at its inner end: what stands outside the cavity stays.
PortOpening cutTo(PortOpening port, double length);

/// A sentence (without a full stop) for what cannot be built: below 0, larger than the wall, flares longer than the
/// port, tubes in one another, a tube that touches or shuts itself against the far wall, no air left after the port's
/// own volume. Where sizes are not known: what takes as much of the cavity as it leaves, or so much of a wall that the
/// volume behind it would be less than a quarter as deep as that is wide.
std::optional<std::string> whyImpossible(const PortOpening& port, const CavityRoom& room);

}  // namespace portwright
