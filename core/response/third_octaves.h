// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace portwright {

/// Nominal centres of the third octaves in [from, to], Hz, rising; within 20 Hz to 2 kHz. Source: preferred
/// frequencies of ISO 266, from memory.
std::vector<double> thirdOctaves(double from, double to);

}  // namespace portwright
