// SPDX-License-Identifier: GPL-3.0-or-later
// What a housing's ports give up as it plays louder, over level and frequency.
#pragma once

#include "core/document/json_text.h"
#include "core/response/compression.h"

#include <string>
#include <vector>

namespace portwright::console {

struct PortLoudness {
    std::vector<PortAtDrives> ports;  ///< each where its air is fastest
    std::vector<int> numbers;         ///< of each, among the ports of the housing, counted from 1
    Compression compression;          ///< third octaves, a quarter to four times the feed in force
};

/// Errors: at 0 V there is nothing to compare; as solve().
Result<PortLoudness> portLoudnessOf(const Model& model);

std::string loudnessText(const PortLoudness& loudness);
JsonValue loudnessJson(const PortLoudness& loudness);

}  // namespace portwright::console
