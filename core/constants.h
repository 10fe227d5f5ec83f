// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <numbers>
#include <string>
#include <utility>
#include <vector>

namespace portwright {

inline constexpr double pi = std::numbers::pi;
inline constexpr double referencePressure = 20e-6;  ///< Pa rms, 0 dB sound pressure level in air

/// Keys of the project file this version does not know: name and JSON text, kept in order and written back.
using UnknownKeys = std::vector<std::pair<std::string, std::string>>;

}  // namespace portwright
