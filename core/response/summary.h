// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/response/curves.h"

namespace portwright {

/// Named quantities of one housing as it is at a small signal; absent where they do not apply or do not exist.
struct Summary {
    SystemKind kind = SystemKind::closed;
    std::optional<double> fc, Qtc;  ///< closed: w0/2pi [Hz] and Qts fc/fs (the driver alone, leak and lining excluded)
    std::optional<double> fb;       ///< vented, passive: tuning, Hz
    /// Hz; the lower edge of the band in which the level, with every coil, capacitor and filter left out, is not more
    /// than 10 lg 2 dB (10 dB) below its high-frequency limit: going down from the highest frequency judged that is in
    /// such a band, the first at which it falls out of it. Judged is up to where all is at its limit; with waves in
    /// cavity or port below the first that stands in the cavity and the first of a port's own tube, the dip in front of
    /// which is no end of the passband.
    std::optional<double> f3, f10;
    double referenceLevel = 0;  ///< dB: high-frequency limit that f3 refers to
    struct Peak {
        double frequency, impedance;  ///< Hz, ohm
    };
    std::vector<Peak> impedancePeaks;      ///< 10 Hz .. 2 kHz, rising
    std::optional<Peak> impedanceMinimum;  ///< of the wired group, 20 Hz to 2 kHz
    std::optional<Peak> amplifierLoad;     ///< least of group and series parts together, 20 Hz to 2 kHz
    struct Hump {
        double frequency, height;  ///< Hz, dB above the high-frequency limit, coils, capacitors and filters left out
    };
    std::optional<Hump> hump;  ///< the level's largest rise, if it is above its limit anywhere up to 2 kHz
};
Result<Summary> summaryOf(const Model& model);

/// f3 of the summary alone, `tuning` being tuningOf(model).
std::optional<double> f3Of(const Model& model, std::optional<double> tuning);

/// Level at a frequency [Hz] over the limit that f3 refers to, dB, coils, capacitors and filters left out: -10 lg 2 at
/// f3. Errors as solve().
Result<double> levelOverLimit(const Model& model, double frequency);

/// Tuning of a vented or passive housing [Hz]: w0/2pi where all ports are classical and in the main cavity, otherwise
/// where the air load on the drivers turns from mass to spring: the Helmholtz resonance of port and cavity, friction
/// and all. Absent for a closed one, and where friction in a bore too narrow leaves none (a port's Q below some sqrt
/// 2).
std::optional<double> tuningOf(const Model& model);

/// Tuning by the textbook sums [Hz] of all ports together that open from one cavity, one spring and their masses beside
/// one another. 0 without a port there.
double textbookTuning(const Model& model, CavityId which);

/// Where a tuning is looked for, Hz, and by how many points.
inline constexpr double lowestTuning = 0.5;
inline constexpr int tuningPoints = 400;
double highestTuning(const Model& model);

/// The lowest parallel resonance of the air load on the drivers above a frequency [Hz]: where the load, the network
/// without its drivers seen from where they are, turns from mass to spring, Im Y = 0 rising and |Z| peaks. The first is
/// the tuning of whatever breathes; the next are standing waves. Losses given by Q are left out, leaks are not.
std::optional<double> loadResonance(const Model& model, double above = lowestTuning);

}  // namespace portwright
