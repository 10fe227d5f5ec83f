// SPDX-License-Identifier: GPL-3.0-or-later
// ngspice's own library in this process: reads a netlist, runs it, gives back its vectors.
#pragma once

#include <complex>
#include <string>
#include <vector>

namespace portwright::test {

/// Runs a netlist (title line first, ".end" last) whose analysis is AC. The library has one circuit at a time.
class Spice {
public:
    Spice();
    void run(const std::vector<std::string>& netlist);
    /// Values of a vector ("box", "vsense#branch") over the frequencies of the last run. Throws if it is not there,
    /// since the library itself reports no fault.
    std::vector<std::complex<double>> vector(const std::string& name) const;
};

}  // namespace portwright::test
