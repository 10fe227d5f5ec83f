// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/response/curves.h"

namespace portwright {

/// Named quantities of one housing as it is at a small signal; absent where they do not apply or do not exist.
struct Summary {
    SystemKind kind = SystemKind::closed;
    std::optional<double> fc, Qtc;  ///< closed: w0/2pi [Hz] and Qts fc/fs (the driver alone, leak and lining excluded)
    std::optional<double> fb;       ///< vented, passive: tuning, Hz
    std::optional<double> f3, f10;  ///< Hz; the lowest frequency above which the level, with every coil, capacitor and
                                    ///< filter left out, never falls more than 10 lg 2 dB (10 dB) below its limit;
                                    ///< in a segmented cavity looked for below the first standing wave and
                                    ///< the first resonance of a port's own tube
    double referenceLevel = 0;      ///< dB: high-frequency limit that f3 refers to
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

/// Tuning of a vented or passive housing [Hz]: w0/2pi where all ports are classical and in the main cavity, otherwise
/// where the air load on the drivers turns from mass to spring. Absent for a closed one.
std::optional<double> tuningOf(const Model& model);

/// The lowest parallel resonance of the air load on the drivers above a frequency [Hz]: where the load, the network
/// without its drivers seen from where they are, turns from mass to spring, Im Y = 0 rising and |Z| peaks. The first is
/// the tuning of whatever breathes; the next are standing waves. Losses given by Q are left out of ports.
std::optional<double> loadResonance(const Model& model, double above = 0.5);

}  // namespace portwright
