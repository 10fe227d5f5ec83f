// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/console/solved.h"
#include "core/response/uncertainty.h"

#include <string>
#include <vector>

namespace portwright::console {

/// One frequency of the comparison.
struct ComparedPoint {
    double frequency = 0;  ///< Hz
    double level = 0;      ///< dB at the rider
    double loudest = 0;    ///< dB, infinite if nothing limits
    LimitKind limit = LimitKind::none;
};

struct ComparedHousing {
    std::string id, name;
    Summary summary;
    std::vector<ComparedPoint> at;                ///< third octaves, 20 Hz to 2 kHz
    std::vector<Verdict> verdicts;                ///< worst first
    std::optional<Uncertainty> uncertainty = {};  ///< where any input is known to be uncertain
    std::string leftOut = {};                     ///< of those ranges; may be empty
};

struct Comparison {
    std::string title;
    std::vector<ComparedHousing> housings;
    std::vector<std::string> cautions;
};

/// Errors: field is a JSON pointer.
Result<Comparison> comparisonOf(const Project& project);

std::string compareText(const Comparison& comparison);
std::string compareJson(const Comparison& comparison);
std::string compareCsv(const Comparison& comparison);

}  // namespace portwright::console
