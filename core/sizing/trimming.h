// SPDX-License-Identifier: GPL-3.0-or-later
// "Cut long, sweep, trim": how much to take off a port that was cut long, from the tuning that was measured of it.
#pragma once

#include "core/sizing/sizing.h"

#include <string>
#include <vector>

namespace portwright {

/// The tuning measured with the port at one length.
struct CutReading {
    double length = 0;       ///< m, mouth to mouth
    double tuning = 0;       ///< Hz
    double uncertainty = 0;  ///< Hz, standard; 0: the options' share of the tuning
};

/// What the file holds of a port's readings, those not swept yet left out.
std::vector<CutReading> cutReadings(const PortOpening& port);

struct TrimOptions {
    /// Before anything is measured, standard: of the net volume as a part of it, and of the air beyond the mouths, m.
    /// Simple shapes and fills give 5 %, common practice; 0.1 of the radius is a fair guess for ends near clutter.
    double volumeUncertainty = 0.05;
    double endUncertainty = 0;          ///< 0: 0.1 of the port's radius (set by trimOptions)
    double readingUncertainty = 0.005;  ///< of the tuning: the dip of the impedance lies within 1 % of it
    double cutTolerance = 0.5e-3;       ///< m that a saw or file keeps to
    double wantedWithin = 0.01;         ///< of the target: what counts as reached
    double safety = 3;                  ///< standard uncertainties that every cut leaves on
    int mostStages = 6;
};
TrimOptions trimOptions(const PortOpening& port, double volumeUncertainty = 0.05);

/// One cut, and what the next sweep should then show.
struct TrimStage {
    double takeOff = 0, length = 0;            ///< m
    double tuning = 0, tuningUncertainty = 0;  ///< Hz, expected
};

struct TrimPlan {
    /// cut: do the first stage and measure again. reached: leave it. measureBetter: what is still to come off is less
    /// than the readings can tell. tooShort: nothing to take off would lower it.
    enum class State { cut, reached, measureBetter, tooShort } state = State::cut;
    double volume = 1, end = 0;          ///< the model set right: net volume times, length beyond the mouths plus m
    double length = 0, uncertainty = 0;  ///< m, the length that gives the target, standard
    double takeOff = 0;                  ///< m, from the last reading's length; below 0: it is too short
    double tuning = 0;                   ///< Hz now, by model and readings together
    double tuningPerLength = 0;          ///< Hz/m there
    double safety = 3;                   ///< standard uncertainties that each cut leaves on
    std::vector<TrimStage> stages;       ///< the first is to be cut now; the others as far as can be foreseen
};

/// The plan for a target [Hz] after one or more readings, the last of which is of the port as it is now. Volume and
/// ends are fitted to readings and their own uncertainty together (linear least squares with a prior, iterated; JCGM
/// 100 5.1.2 for what follows from them), so that a second reading at another length tells the two apart. Every cut
/// stops `safety` uncertainties before the target's length: as long as volume, ends and readings together are off by no
/// more than that many of their uncertainties, none overshoots. Errors: a reading or target that cannot be, in a
/// sentence.
Result<TrimPlan> trimPlan(const TuningOfCut& tuning, double target, const std::vector<CutReading>& readings,
                          const TrimOptions& options);

/// What to do, in one to three sentences.
std::vector<std::string> trimWords(const TrimPlan& plan, double target, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
