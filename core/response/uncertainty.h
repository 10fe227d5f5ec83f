// SPDX-License-Identifier: GPL-3.0-or-later
// What not knowing the inputs exactly does to the results: propagation as JCGM 100:2008 ("GUM") 5.1.2, the inputs taken
// as independent, y's variance = sum of (dy/dx u(x))^2, with derivatives by central differences over a ten-thousandth
// of the value (one-sided where one of the two makes no housing). First order: a large uncertainty of a bent
// relation is not told (a Monte-Carlo run over the same inputs shows by how much: see the tests).
#pragma once

#include "core/quantity/quantity.h"
#include "core/response/curves.h"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// One input of a housing that is not known exactly, SI.
struct UncertainInput {
    enum class From { volume, secondVolume, driver };
    From from = From::volume;
    std::string key;   ///< of the project file: "net_volume_l", "fs_hz"
    std::string name;  ///< as sentences have it: "the volume", "fs"
    double value = 0, uncertainty = 0;
    Dimension dimension = Dimension::volume;
    bool assumed = false;  ///< nobody stated it: the usual tolerance of a guessed value (see below)
    bool operator==(const UncertainInput&) const = default;
};

/// The uncertain inputs of a housing: the net volume of each cavity as its measurements or `net_uncertainty_l` have it,
/// and the driver's values with an entry in its `uncertainty` map. A value of origin "guessed" without one is given the
/// usual tolerance of an unmeasured driver, and marked as assumed: fs 10 %, Qts and Qes 15 %, Vas 20 % (common
/// practice, no source). Datasheet values without a stated uncertainty are taken as exact. Errors as modelOf().
Result<std::vector<UncertainInput>> uncertainInputs(const Project& project, std::size_t housing);

/// The project with one input of one housing at another value; of a driver, for all that use it.
Project withInput(Project project, std::size_t housing, const UncertainInput& input, double value);

/// Part of a result's variance that one input makes, 0..1.
struct Share {
    std::size_t input;  ///< index in Uncertainty::inputs
    double part;
};

/// A result with its standard uncertainty, SI. Shares largest first, those of no effect left out; they add up to 1
/// (none where the uncertainty is 0).
struct Ranged {
    double value = 0, uncertainty = 0;
    std::vector<Share> shares;
};

/// The length to cut one port to.
struct CutLength {
    int opening = 0;             ///< index in Housing::openings: the first port of the main cavity
    Ranged length;               ///< m that keeps the tuning the model shows now, whatever the inputs really are
    double tuningPerLength = 0;  ///< Hz/m, below 0: a longer tube tunes lower
};

struct Uncertainty {
    std::vector<UncertainInput> inputs;           ///< empty: nothing is known to be uncertain
    std::optional<Ranged> tuning, resonance, f3;  ///< Hz; as Summary's fb, fc and f3
    std::optional<CutLength> cut;                 ///< with a port in the main cavity
    double volumeExponent = 0;  ///< tuning (resonance) ~ V^this about the present main volume: V/f df/dV
    /// One standard uncertainty below and above the curves: level in dB; impedance, cone travel, port air and passive
    /// travel reckoned in their logarithm, so that none falls below 0. The other curves are left empty.
    Curves lower, upper;
};

/// Errors as modelOf() and solve().
Result<Uncertainty> uncertaintyOf(const Project& project, std::size_t housing, const Grid& grid);

/// What the ranges do not hold, since no input stands for it: a sentence where a port has textbook
/// ends (which miss the tuning by up to some 10 % in compact cavities: finite-element results,
/// tests/data/port_tuning.csv), or where the cavity is taken for a box because neither its shape nor its inner sizes
/// are given, with how far another box may move the tuning (assumedShapeSpread), and what the hole to a second cavity
/// would do beside its port. Empty otherwise.
std::string leftOutOfRanges(const Model& model);

/// What to measure next, in the user's own numbers: the input with the largest share of the tuning (closed: the
/// resonance), and what would be left of its uncertainty with that input known to 2 % (fs 1 %), or half as uncertain
/// where it is better known already. Says so where nothing is worth it (under 1 % in all), or where the volume's own
/// uncertainty is not stated, which comes first.
std::string measureNext(const Uncertainty& uncertainty);

}  // namespace portwright
