// SPDX-License-Identifier: GPL-3.0-or-later
// What is known of a driver (a datasheet with gaps, a measurement), and how the rest is completed and cross-checked.
#pragma once

#include "core/driver/driver.h"
#include "core/quantity/quantity.h"
#include "core/result.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace portwright {

enum class SensitivityAt { oneWatt, voltage283 };  ///< 1 W in the nominal impedance, or 2.83 V; both 1 m, half space
enum class Origin { datasheet, measured, derived, guessed };

/// A driver as given, SI. Vas and sensitivity are read at referenceAir().
struct DriverSheet {
    std::string id, name;
    std::optional<double> fs;  ///< Hz
    std::optional<double> Qes, Qms, Qts;
    std::optional<double> Vas;                ///< m3
    std::optional<double> Cms, Mms, Bl, Rms;  ///< m/N, kg, N/A, kg/s
    std::optional<double> sensitivity;        ///< dB
    std::optional<SensitivityAt> sensitivityAt;
    std::optional<double> Re, Sd;                   ///< ohm, m2
    std::optional<double> Le;                       ///< H; excludes inductance
    std::optional<Inductance> inductance;           ///< TwoInductor or SemiInductance
    std::optional<double> Xmax, Xmech;              ///< m, one-way peak
    std::optional<double> power, nominalImpedance;  ///< W, ohm
    std::optional<double> displacement;             ///< m3
    std::map<std::string, Origin> origin;           ///< by key of the project file ("fs_hz")
    std::map<std::string, double> uncertainty;      ///< standard uncertainty by key, in that key's unit
    UnknownKeys unknown;
    UnknownKeys inductanceUnknown = {};  ///< the same inside "inductance"
    bool operator==(const DriverSheet&) const = default;
};

/// One thing noticed while completing: a disagreement between values, or a value out of the usual range.
struct Finding {
    enum class Size { note, warn, wrong } size;  ///< over 5 %, 10 %, 20 % for disagreements
    std::string key;                             ///< key of the value concerned ("vas_l")
    std::string text;                            ///< sentence with both numbers, size and likely cause
    double given = 0, reckoned = 0;              ///< in the key's unit; reckoned 0 for range findings
    bool operator==(const Finding&) const = default;
};

/// A completed driver: parameters, limits as given, and what was noticed.
struct CompleteDriver {
    Driver driver;
    double fs = 0, Qes = 0, Qms = 0, Qts = 0, Vas = 0;  ///< as reckoned with (Vas at referenceAir())
    std::optional<double> Xmax, Xmech, power, nominalImpedance, displacement;
    std::vector<Finding> findings;
    bool operator==(const CompleteDriver&) const = default;
};

/// Completes a driver from any sufficient set. Precedence as in the project file: fs as given; Qes and Qms before Qts;
/// compliance from the first present of Vas, Cms, Mms, Bl, sensitivity; Rms may stand for Qms and Bl with Mms for Qes.
/// Errors: field is the key that is missing (or whose value makes no physical driver), message says what would do.
Result<CompleteDriver> complete(const DriverSheet& sheet);

/// The findings of a completed driver with their sentences in a unit system; complete() gives them in metric.
std::vector<Finding> findingsOf(const DriverSheet& sheet, const CompleteDriver& driver,
                                UnitSystem units = UnitSystem::metric);

}  // namespace portwright
