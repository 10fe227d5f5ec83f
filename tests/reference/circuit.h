// SPDX-License-Identifier: GPL-3.0-or-later
// A housing written as an ngspice netlist, from the definitions of the project file and textbook acoustics alone: none
// of core's element values are used, only what an element's own table gives at one frequency (viscous tubes, lossy
// coils).
#pragma once

#include "core/response/model.h"

#include <string>
#include <vector>

namespace portwright::test {

inline constexpr double flowUnit = 1e-5;  ///< m3/s of volume velocity for each ampere of the netlist's acoustic side

struct Circuit {
    std::vector<std::string> lines;  ///< netlist
    std::vector<std::string>
        portSense;                     ///< current vector of each port opening, in file order (all its tubes together)
    std::vector<double> portArea;      ///< m2, all its tubes together
    std::vector<std::string> outside;  ///< current vectors of all openings to the outside
    int drivers = 1;
};

/// `analysis`: e.g. "ac lin 1 80 80". Frequency-dependent parts are taken at `frequency` [Hz]. `airSpeed`: peak speed
/// in each port opening, in file order, for the resistance of separation at its ends; empty: none.
Circuit circuitOf(const Air& air, const CompleteDriver& driver, const Housing& housing, const Feed& feed,
                  double frequency, const std::string& analysis, const std::vector<double>& airSpeed = {});

}  // namespace portwright::test
