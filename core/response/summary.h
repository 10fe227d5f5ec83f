// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/response/curves.h"

namespace portwright {

/// Named quantities of one housing; absent where they do not apply or do not exist.
struct Summary {
    SystemKind kind = SystemKind::closed;
    std::optional<double> fc, Qtc;  ///< closed: w0/2pi [Hz] and Qts fc/fs (the driver alone, leak and lining excluded)
    std::optional<double> fb;       ///< vented, passive: tuning, Hz
    std::optional<double> f3, f10;  ///< Hz; see the definition in f3Of
    double referenceLevel = 0;      ///< dB: high-frequency limit that f3 refers to
    struct Peak {
        double frequency, impedance;  ///< Hz, ohm
    };
    std::vector<Peak> impedancePeaks;      ///< 10 Hz .. 2 kHz, rising
    std::optional<Peak> impedanceMinimum;  ///< the least load from 20 Hz to 2 kHz
};
Result<Summary> summaryOf(const Model& model);

}  // namespace portwright
