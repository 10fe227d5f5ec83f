// SPDX-License-Identifier: GPL-3.0-or-later
// Ports by the textbook sums: lumped inertance with fixed end corrections, length and tuning from one another.
#pragma once

#include "core/air/air.h"
#include "core/housing/housing.h"
#include "core/result.h"

namespace portwright {

/// End correction in units of the radius: 0.6133 free (Levine & Schwinger, Phys. Rev. 73 (1948) 383, as printed),
/// 0.8217 flush in a wall (Nomura, Yamamura, Inawashiro 1960; Norris & Sheng, JSV 135 (1989) 85). Valid for ka -> 0.
double endCorrectionFactor(TubeEnd end);

/// Sum of both end corrections of one tube, m.
double endCorrections(const PortOpening& port);

/// Inertance of all `count` tubes in parallel, rho Leff/(count S), kg/m4.
double portInertance(const PortOpening& port, const Air& air);

/// Tuning [Hz] of a cavity compliance [m3/Pa] and a total inertance [kg/m4].
double helmholtzFrequency(double Cab, double M);

/// Length [m] that tunes the port's bore and count to fb [Hz] with the compliance Cab [m3/Pa] (alone on it).
/// Error: no such length (even a bare hole tunes lower, or it would pass 3 m); the sentence says what to change.
Result<double> lengthForTuning(const PortOpening& port, double fb, double Cab, const Air& air);

/// Starting bore [m]: equivalent diameter of a total area of 0.8 fb Vd.
/// Source: Small, "Vented-Box Loudspeaker Systems" II, JAES 21 (1973) 438 (numbers from memory): S >= 0.8 fb Vd,
/// with Vd = n Sd Xmax [m3] the peak displaced volume.
double startingBore(double fb, double displacedVolume);

}  // namespace portwright
