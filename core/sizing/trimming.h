// SPDX-License-Identifier: GPL-3.0-or-later
// "Cut long, sweep, trim": how much to take off a port that was cut long, from what was read of it: the tuning itself,
// or where the impedance dips, which is set right by what the model says of it.
#pragma once

#include "core/sizing/sizing.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// Where the impedance of a port's housing dips with the port at some length, whose tuning is known [Hz]; nothing where
/// no dip is to be read (impedance_dip.h). `withoutCoil`: the same with coils that have no inductance.
struct DipOfCut {
    std::function<std::optional<double>(const Cut&, double tuning)> dip, withoutCoil;
};
/// By the whole model of the housing; under a millisecond each. The net volume is with the port as it now is.
DipOfCut dipOfCut(const Model& model, int opening);

/// A port to be trimmed. Without `dip` readings can only be the tuning itself.
struct TrimmedPort {
    TuningOfCut cut;
    DipOfCut dip;
};

/// What was read with the port at one length.
struct CutReading {
    double length = 0;       ///< m, mouth to mouth
    double frequency = 0;    ///< Hz
    double uncertainty = 0;  ///< Hz, standard; 0: the options' share of the frequency
    ReadAs readAs = ReadAs::tuning;
};

/// What the file holds of a port's readings, those not swept yet left out.
std::vector<CutReading> cutReadings(const PortOpening& port);

struct TrimOptions {
    /// Before anything is measured, standard: of the net volume as a part of it, and of the air beyond the mouths, m.
    /// Simple shapes and fills give 5 %, common practice; 0.1 of the radius is a fair guess for ends near clutter.
    double volumeUncertainty = 0.05;
    double endUncertainty = 0;          ///< 0: 0.1 of the port's radius (set by trimOptions)
    double readingUncertainty = 0.005;  ///< of the frequency, as finely as a sweep is read (common practice, no source)
    /// What the model does not know of how far the dip is from the tuning, standard, the same way off at every length:
    /// that part of what the coil's inductance does to it, of what losses do, and at least `dipLeast` of the tuning, as
    /// root sum of squares. Holds two times in three where the driver is known to 3 % in fs, 5 % in Qes, 8 % in Vas,
    /// 10 % in Qms and 20 % in Le, and the losses of leak, lining and port to 30 % (trimming_test.cpp).
    double dipShare = 0.2, dipLeast = 0.004;
    double cutTolerance = 0.5e-3;  ///< m that a saw or file keeps to
    double wantedWithin = 0.01;    ///< of the target: what counts as reached
    double safety = 3;             ///< standard uncertainties that every cut leaves on
    int mostStages = 6;
};
TrimOptions trimOptions(const PortOpening& port, double volumeUncertainty = 0.05);

/// One cut, and what is then expected.
struct TrimStage {
    double takeOff = 0, length = 0;            ///< m
    double tuning = 0, tuningUncertainty = 0;  ///< Hz
    double shown = 0, shownUncertainty = 0;    ///< Hz, what the next reading should show
    ReadAs readAs = ReadAs::tuning;            ///< a dip if any reading is one, and there still will be one
};

/// A reading as the tuning that it stands for.
struct ReadTuning {
    double tuning = 0, uncertainty = 0;  ///< Hz, standard: of the reading and of what it was set right by
    ReadAs readAs = ReadAs::tuning;
};

/// A reading against what model and other readings say of it.
struct ReadingDoubt {
    std::size_t reading = 0;
    double length = 0, read = 0;           ///< m, Hz: the reading
    double expected = 0, uncertainty = 0;  ///< Hz as it is read; standard, the reading's own included
};

struct TrimPlan {
    /// cut: do the first stage and measure again. reached: leave it. measureBetter: what is still to come off is less
    /// than the readings can tell. tooShort: nothing to take off would lower it. doubtful: the readings contradict each
    /// other, so nothing is to be cut by them.
    enum class State { cut, reached, measureBetter, tooShort, doubtful } state = State::cut;
    std::optional<ReadingDoubt> doubt;   ///< the worst one more than four uncertainties off
    double volume = 1, end = 0;          ///< the model set right: net volume times, length beyond the mouths plus m
    double length = 0, uncertainty = 0;  ///< m, the length that gives the target, standard
    double takeOff = 0;                  ///< m, from the last reading's length; below 0: it is too short
    double tuning = 0, tuningUncertainty = 0;  ///< Hz now, by model and readings together
    double tuningPerLength = 0;                ///< Hz/m there
    double safety = 3;                         ///< standard uncertainties that each cut leaves on
    std::vector<ReadTuning> readings;          ///< in the order given
    std::vector<TrimStage> stages;             ///< the first is to be cut now; the others as far as can be foreseen
};

/// The plan for a target [Hz] after one or more readings, the last of which is of the port as it is now. Volume, ends
/// and how far dips are from the tuning are fitted to readings and their own uncertainty together (linear least squares
/// with a prior, iterated; JCGM 100 5.1.2 for what follows from them), so that a second reading at another length tells
/// volume and ends apart, and the tuning itself beside a dip what the dip is worth. Every cut stops `safety`
/// uncertainties before the target's length: as long as all these together are off by no more than that many of their
/// uncertainties, none overshoots. Errors: a reading or target that cannot be, or a dip that the model does not have,
/// in a sentence.
Result<TrimPlan> trimPlan(const TrimmedPort& port, double target, const std::vector<CutReading>& readings,
                          const TrimOptions& options);

/// What to do, in one to four sentences.
std::vector<std::string> trimWords(const TrimPlan& plan, double target, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
