// SPDX-License-Identifier: GPL-3.0-or-later
// What one measurement says of a cavity: a volume with its standard uncertainty, whatever the method.
// Uncertainties follow the Guide to the Expression of Uncertainty in Measurement (JCGM 100:2008).
#pragma once

#include "core/air/air.h"
#include "core/driver/sheet.h"
#include "core/housing/housing.h"
#include "core/housing/measurement.h"
#include "core/quantity/quantity.h"
#include "core/result.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright {

struct VolumeReading {
    double volume = 0;       ///< m3, as measured: of the bare shell or of the finished cavity, see inPlace
    double uncertainty = 0;  ///< m3, one standard deviation, above 0
    InPlace inPlace = InPlace::nothing;
    std::string method = {};                ///< "water by weight, 3 readings"
    std::vector<std::string> remarks = {};  ///< whole sentences
    bool unused = false;                    ///< kept, but not reckoned with: by wish, or because of the error
    std::optional<Error> error = {};        ///< why it gives no volume (then 0); field: key inside the measurement
};

/// The housing that a cavity belongs to: its driver for resonances and displacement, its ports for what they take.
/// Holds references: build it where it is used.
struct CavityContext {
    const Housing& housing;
    const CompleteDriver& driver;
    const Air& air;
    CavityId cavity = CavityId::main;
    UnitSystem units = UnitSystem::metric;  ///< of the sentences
};

/// What was found when the scan was read. Errors: no volume, or no uncertainty.
Result<VolumeReading> readingOf(const ScanMeasurement& scan, UnitSystem units = UnitSystem::metric);

/// A volume known in any other way. Without an uncertainty 10 % are assumed (common practice, no source) and told.
Result<VolumeReading> readingOf(const StatedVolume& stated, UnitSystem units = UnitSystem::metric);

/// Any measurement, its `unused` and `inPlace` taken over; resonances always see everything in place, and say so where
/// the file says otherwise. Errors: field is the key inside the measurement
/// ("readings_g/1", "sections/2/width_mm").
Result<VolumeReading> readingOf(const Measurement& measurement, const CavityContext& context);

/// "Fill", "Sections", "Solids", "Scan", "Closed resonance", "Bottles", "Stated volume": for lists and headings.
std::string nameOf(const Measurement& measurement);

}  // namespace portwright
