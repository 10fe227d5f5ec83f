// SPDX-License-Identifier: GPL-3.0-or-later
// One candidate housing as plain values, SI, as given. Absent optionals take the defaults of the comments.
#pragma once

#include "core/cavity/measurement.h"
#include "core/constants.h"
#include "core/feed/feed.h"

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

struct Cavity {
    double netVolume = 0;                   ///< m3, taken as it stands; 0: not given, from the measurements
    std::optional<double> netUncertainty;   ///< m3, standard uncertainty of a net volume given as a number
    std::vector<Measurement> measurements;  ///< the volume, and from sections or a scan the shape
    std::vector<Deduction> deductions;      ///< what comes off a bare shell
    std::optional<CavityModel> model;       ///< default: as the shape asks for
    std::optional<double> driverAt;         ///< m along the shape's axis, default 0
    std::optional<double> fillFactor;       ///< 1..1.4, default 1
    std::optional<double> absorptionQ;      ///< 1..1000, default none
    std::optional<OutlineFamily> outline;   ///< default lower
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
struct PortOpening {
    PortShape shape = PortShape::round;
    double diameter = 0;           ///< m, round
    double width = 0, height = 0;  ///< m, slot
    std::optional<int> count;      ///< 1..16, default 1
    double length = 0;             ///< m, 0..3
    TubeEnd innerEnd = TubeEnd::free, outerEnd = TubeEnd::flush;
    bool classical = false;       ///< "end_correction": "classical"
    std::optional<double> lossQ;  ///< default: losses computed
    std::optional<double> at;  ///< m along the cavity's axis, default its far end; at an end it points along the axis,
                               ///< elsewhere across
    std::optional<double> wall;  ///< m, wall of the tube, default 0: its outline inside the cavity is the bore
    std::optional<double>
        inside;  ///< m of its length inside the cavity, default all of it for a free inner end, else 0
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

int countOf(const PortOpening& port);
double areaOf(const PortOpening& port);    ///< section of one tube, m2
double radiusOf(const PortOpening& port);  ///< sqrt(area/pi), m

}  // namespace portwright
