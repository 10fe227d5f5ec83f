// SPDX-License-Identifier: GPL-3.0-or-later
// Every numeric key of the project file, once: unit, range, default, meaning. The reader, the writer and the editors
// use it.
#pragma once

#include "core/quantity/quantity.h"

#include <optional>
#include <string_view>

namespace portwright {

struct FieldInfo {
    std::string_view object;   ///< "driver", "cavity", "hole", "leak", "port", "passive", "feed", "high_pass",
                               ///< "amplifier", "series_part", "inductance", "air", "place", "limits", "housing",
                               ///< "measurement", "section", "solid", "bottle", "deduction", "bend", "port_reading",
                               ///< "place_inside"
    std::string_view key;      ///< "fs_hz"
    std::string_view symbol;   ///< as printed in the field: "fs"
    std::string_view meaning;  ///< one short phrase for a tool tip
    Dimension dimension;
    double perSi;           ///< file value = SI value * perSi exactly as a division on reading (1000 for mm)
    double min, max;        ///< in the file's unit, both allowed
    std::string_view unit;  ///< the file's unit as printed: "mm", "Hz", "L", "" for pure numbers
    std::optional<double> defaultValue;  ///< in the file's unit
};

/// Null if there is no such key.
const FieldInfo* fieldInfo(std::string_view object, std::string_view key);

}  // namespace portwright
