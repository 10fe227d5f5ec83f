// SPDX-License-Identifier: GPL-3.0-or-later
// What the speed of a port's air means: its dimensionless numbers, and the speeds at which something changes.
#pragma once

#include "core/air/air.h"
#include "core/housing/housing.h"

#include <string>
#include <vector>

namespace portwright {

/// Numbers of a port's air at a peak speed u [m/s], the mean over the section of one tube, and a frequency; d the bore,
/// in a slot four times its section over its circumference; w = 2 pi f, nu = mu/rho.
struct AirSpeedNumbers {
    double mach = 0;           ///< u/c
    double reynolds = 0;       ///< u d/nu
    double layerReynolds = 0;  ///< u delta/nu, delta = sqrt(2 nu/w) the thickness of the oscillating wall layer
    double stroke = 0;         ///< u/w, m: how far the air moves to each side of where it rests
    double boreStrouhal = 0;   ///< w (d/2)/u
    double edgeStrouhal = 0;   ///< w r/u, r the smaller of both flares; 0 for a sharp end
};
AirSpeedNumbers airSpeedNumbers(const PortOpening& port, double speed, double frequency, const Air& air);

/// A number with what it says here, and where that is known from.
struct AirSpeedMeaning {
    std::string name, text, source;
    double value = 0;
};
/// Mach, Reynolds, wall layer, both Strouhal numbers, in this order.
std::vector<AirSpeedMeaning> meaningsOf(const AirSpeedNumbers& numbers);
/// Its value in three digits, never as a power of ten: "0.0294", "1.44", "42200".
std::string figureOf(const AirSpeedMeaning& meaning);

/// A peak speed from which on something is different, and the basis of that.
struct AirSpeedMark {
    double speed = 0;  ///< m/s peak
    std::string words, basis;
};
/// The marks of one port at a frequency, slowest first: where its ends begin to separate (by flare), where the flow
/// through them is as good as steady (by bore), quiet, recommended, turbulent wall layer, stop.
std::vector<AirSpeedMark> airSpeedMarks(const PortOpening& port, double frequency, const Air& air);

/// Recommended limit of the peak speed [m/s] by the flares: 17 for sharp ends (5 % of the sound speed), rising to 25
/// where both ends have a quarter-round of at least half the bore's radius (in a slot: a quarter of its height). Common
/// practice, no source; that a port should be wide enough for its tuning and displaced volume: Small, JAES 21 (1973)
/// 438. What a file's limits say goes before it.
double recommendedAirSpeed(const PortOpening& port);

}  // namespace portwright
