// SPDX-License-Identifier: GPL-3.0-or-later
// The finite-element results of tests/data/port_tuning.csv and slot_tuning.csv.
#pragma once

#include "core/air/air.h"

#include <map>
#include <string>
#include <vector>

namespace portwright::test {

/// One row, columns by name; numbers in the file's units.
struct PortCase {
    std::map<std::string, std::string> text;
    std::string operator()(const std::string& column) const { return text.at(column); }
    double number(const std::string& column) const;  ///< 0 where the cell is empty
    double metres(const std::string& column) const { return number(column) / 1e3; }
};

std::vector<PortCase> portCases(const std::string& file = "port_tuning.csv");
Air portTableAir();  ///< c 343.2 m/s, rho 1.2 kg/m3

}  // namespace portwright::test
