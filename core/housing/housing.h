// SPDX-License-Identifier: GPL-3.0-or-later
// One candidate housing as plain values, SI, as given. Absent optionals take the defaults of the comments.
#pragma once

#include "core/constants.h"
#include "core/feed/feed.h"
#include "core/housing/measurement.h"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace portwright {

enum class Wiring { parallel, series };
enum class CavityId { main, second };
enum class TubeEnd { free, flush };
enum class PortShape { round, slot };
enum class OutlineFamily { lower, fairing, lid };  ///< how a cavity known by its volume alone is drawn

/// How the air of a cavity is reckoned: as one spring, or as a row of tube segments along its axis.
enum class CavityModel { lumped, segmented };

/// What was measured in a cavity where a port is to go, m; what is absent follows from the inner sizes.
struct RoomForPort {
    std::optional<double> straight;                 ///< free run from the port's wall to the magnet or wall opposite
    std::optional<double> across;                   ///< likewise across it, for a port that turns
    std::optional<double> mouthWidth, mouthHeight;  ///< free place for the mouths in the wall
    std::optional<double> wall;                     ///< thickness of the wall that the port goes through
    UnknownKeys unknown = {};
    bool operator==(const RoomForPort&) const = default;
};

struct Cavity {
    double netVolume = 0;                   ///< m3, taken as it stands; 0: not given, from the measurements
    std::optional<double> netUncertainty;   ///< m3, standard uncertainty of a net volume given as a number
    std::vector<Measurement> measurements;  ///< the volume, and from sections or a scan the shape
    std::vector<Deduction> deductions;      ///< what comes off a bare shell
    std::optional<CavityModel> model;       ///< default: as the shape asks for
    std::optional<double> driverAt;         ///< m along the shape's axis, default 0
    /// m, inner size of a box-like cavity of no known shape: x and y across the port's axis, depth along it. What is
    /// not given follows from the net volume.
    std::optional<double> width, breadth, depth;
    std::optional<double> fillFactor;      ///< 1..1.4, default 1
    std::optional<double> absorptionQ;     ///< 1..1000, default none
    std::optional<OutlineFamily> outline;  ///< default lower
    std::optional<RoomForPort> roomForPort;
    UnknownKeys unknown;
    bool operator==(const Cavity&) const = default;
};

struct Hole {                        ///< between two cavities, both ends flush
    double diameter = 0, depth = 0;  ///< m
    std::optional<double> lossQ;     ///< default: losses computed
    UnknownKeys unknown;
    bool operator==(const Hole&) const = default;
};

struct SecondCavity {
    Cavity cavity;
    Hole hole;
    bool operator==(const SecondCavity&) const = default;
};

struct LeakByQ {
    double q = 7;
    bool operator==(const LeakByQ&) const = default;
};
struct LeakHole {
    double diameter = 0, depth = 0;  ///< m
    std::optional<int> count;        ///< default 1
    bool operator==(const LeakHole&) const = default;
};
struct LeakSlit {
    double width = 0, height = 0, depth = 0;  ///< m
    bool operator==(const LeakSlit&) const = default;
};
struct Bend {
    double angle = 0;   ///< rad
    double radius = 0;  ///< m, of the centre line
    UnknownKeys unknown;
    bool operator==(const Bend&) const = default;
};
/// What a reading of a port is: its tuning itself (where the cone moves least), or where the impedance of the housing
/// dips between its two peaks, which coil and losses pull away from the tuning.
enum class ReadAs { tuning, impedanceDip };
/// What was read of the port at one length.
struct PortReading {
    double length = 0;                  ///< m, mouth to mouth
    double frequency = 0;               ///< Hz; 0: cut, not swept yet
    std::optional<double> uncertainty;  ///< Hz, standard, default 0.5 % of the reading
    std::optional<ReadAs> readAs;       ///< default the tuning itself
    UnknownKeys unknown = {};
    bool operator==(const PortReading&) const = default;
};
struct PortOpening {
    PortShape shape = PortShape::round;
    double diameter = 0;           ///< m, round
    double width = 0, height = 0;  ///< m, slot
    std::optional<int> count;      ///< 1..16, default 1
    double length = 0;             ///< m, 0..3, mouth to mouth along the centre line, flares included
    TubeEnd innerEnd = TubeEnd::free, outerEnd = TubeEnd::flush;
    bool classical = false;       ///< "end_correction": "classical"
    std::optional<double> lossQ;  ///< default: losses computed
    std::optional<double> at;  ///< m along the cavity's axis, default its far end; at an end it points along the axis,
                               ///< elsewhere across
    std::optional<double> wall;  ///< m, wall of the tube, default 0: its outline inside the cavity is the bore
    std::optional<double>
        inside;  ///< m of its length inside the cavity, default all of it for a free inner end, else 0
    std::optional<double> innerFlare, outerFlare;  ///< m, radius of a quarter-round flare, default none
    std::vector<Bend> bends;                       ///< anywhere along it
    std::optional<int> sharedWalls;                ///< slot, 0..3: how many of its walls are walls of the cavity
    std::optional<double> x, y;                    ///< m, centre of the mouth across the cavity, from a corner; default
                                                   ///< its middle, a slot's shared walls on walls
    std::optional<double> obstacle;                ///< m free before the inner mouth, default up to the far wall
    std::optional<double> front;                   ///< m, diameter of the free-standing front that a flush outer end is
                                                   ///< in, default a wall without end
    std::optional<double> spacing;                 ///< m between the centres of `count` tubes, default side by side
    std::optional<double> separationK;             ///< 0..4, sum of both ends' loss coefficients, default by flare
    std::optional<double> wantedTuning;            ///< Hz that it is trimmed to
    std::vector<PortReading> readings = {};        ///< as it was trimmed; the last is of the port as it is now
    bool operator==(const PortOpening&) const = default;
};
struct PassiveRadiator {
    double Sd = 0, Mmp = 0, Cms = 0, Rms = 0;  ///< m2, kg with air load, m/N, kg/s
    bool operator==(const PassiveRadiator&) const = default;
};

struct Opening {
    std::variant<LeakByQ, LeakHole, LeakSlit, PortOpening, PassiveRadiator> kind;
    std::optional<CavityId> cavity;  ///< default main
    UnknownKeys unknown;
    bool operator==(const Opening&) const = default;
};

struct Housing {
    std::string id, name;
    std::string driver;              ///< id of the driver
    std::optional<int> driverCount;  ///< 1..8, default 1
    std::optional<Wiring> wiring;    ///< default parallel
    Cavity cavity;
    std::optional<SecondCavity> secondCavity;
    std::vector<Opening> openings;
    std::optional<Feed> feed;  ///< replaces the project's
    UnknownKeys unknown;
    bool operator==(const Housing&) const = default;
};

/// Whether an opening, by its index, is in the second cavity; -1 is a new one, in the main cavity.
bool inSecond(const Housing& housing, int opening);
/// The cavity that it is in.
Cavity& cavityOf(Housing& housing, int opening);
const Cavity& cavityOf(const Housing& housing, int opening);

int countOf(const PortOpening& port);
double areaOf(const PortOpening& port);    ///< section of one tube, m2
double radiusOf(const PortOpening& port);  ///< sqrt(area/pi), m

}  // namespace portwright
