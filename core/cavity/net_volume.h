// SPDX-License-Identifier: GPL-3.0-or-later
// From all that was measured of a cavity to the one net volume that the acoustics takes.
#pragma once

#include "core/cavity/combine.h"
#include "core/cavity/deductions.h"
#include "core/cavity/reading.h"
#include "core/housing/profile.h"

namespace portwright {

struct NetVolume {
    double value = 0;                          ///< m3
    std::optional<double> uncertainty;         ///< m3, one standard deviation; absent for a bare number without one
    bool stated = false;                       ///< the number of the file is in force, whatever was measured
    std::optional<CombinedVolume> gross, net;  ///< of the bare shell; of all readings after deductions
    std::vector<VolumeReading> readings;       ///< one for each measurement, in order
    std::vector<DeductionLine> deductions;     ///< one for each deduction, in order
    std::vector<DeductionKind> forgotten;      ///< what a bare shell holds later and no deduction takes off
    std::vector<std::string> remarks;          ///< whole sentences
};

/// Readings of the bare shell combine, the deductions come off once (they are common to all of them), and the result
/// combines with what was measured with everything in place. A stated net volume wins over all; how far the
/// measurements are from it is remarked. A measurement that gives no volume is left out with a remark as long as
/// another one does.
/// Errors: nothing stated and nothing usable measured, or deductions above what was measured; field is a key inside the
/// cavity ("net_volume_l", "measurements/0/readings_g", "deductions").
Result<NetVolume> netVolumeOf(const Cavity& cavity, const CavityContext& context);

/// The shape from the first used sections or scan measurement that gives one, else nothing. Gross, not scaled to the
/// net volume; positions count from the shape's first end.
std::optional<Profile> profileOf(const Cavity& cavity);

/// The housing with the net volumes (and uncertainties) of its cavities filled in; identity where they are stated.
/// Errors: field is a key inside the housing ("cavity/net_volume_l", "second_cavity/measurements/0/fc_hz").
Result<Housing> resolvedHousing(const Housing& housing, const CompleteDriver& driver, const Air& air);

}  // namespace portwright
