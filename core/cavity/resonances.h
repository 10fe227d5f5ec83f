// SPDX-License-Identifier: GPL-3.0-or-later
// Volume from closed resonances: of a known driver, or of one driver with sealed bottles of known size inside. What is
// found is the volume as the air spring has it: foam and fill make it larger, thin panels too.
#pragma once

#include "core/cavity/reading.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// A driver as a volume gauge. What tells volume is how far its resonance rises: V = push/(fc^2 - fs^2).
struct SpringGauge {
    double fs = 0;                  ///< Hz, in open air
    double spring = 0;              ///< m3, n Vas in the air at hand: n rho c^2 Sd^2 Cms
    double fsUncertainty = 0.10;    ///< relative, of a driver that nobody measured (common practice, no source)
    double pushUncertainty = 0.05;  ///< relative, of push = n Vas fs^2, which piston and moving mass fix and a softer
                                    ///< or stiffer suspension leaves alone (common practice, no source)
};
/// Of the housing's driver, all of its drivers together.
SpringGauge gaugeOf(const CavityContext& context);

/// V = n Vas/((fc/fs)^2 - 1) [m3] (Small 1972; the same moving mass in both). Needs fc > fs.
double closedVolume(double fc, double fs, double spring);
/// fc = fs sqrt(1 + n Vas/V) [Hz].
double closedResonance(double volume, double fs, double spring);

/// What a leak of quality QL (at the closed resonance) does to a volume taken from the impedance of a closed cavity:
/// volume found over true volume, with fc read where |Z| is greatest, and where its phase crosses zero. Le is left out.
struct LeakBias {
    double byPeak = 1, byPhase = 1;
};
LeakBias leakBias(const CompleteDriver& driver, double springOverVolume, double QL);

/// The known driver. Uncertainty, in squares: of fc (default 0.5 %), fs and push of the gauge, and the leak: a
/// rectangle up to the bias of a peak reading at QL 5, under which a leak is a fault (common practice, no source).
/// Errors: fc not above fs, a volume beyond 0.02 .. 2000 L; field "fc_hz".
Result<VolumeReading> readingOf(const ResonanceMeasurement& resonance, const CavityContext& context);

struct BottleFit {
    double volume = 0, uncertainty = 0;              ///< m3, of the cavity without bottles
    double springVolume = 0, springUncertainty = 0;  ///< m3, n Vas in the air at hand
    double fs = 0;                                   ///< Hz, as fitted along within its uncertainty
    double residual = 0;                             ///< Hz, root mean square of measured less fitted resonance
    double strain = 0;                 ///< the same over its expectation; well above 1: readings contradict each other
    std::vector<double> fitted;        ///< Hz, one for each reading
    std::optional<double> nextBottle;  ///< m3: measuring with this one next helps most; absent: nothing to gain
    double nextUncertainty = 0;        ///< m3, what it would come down to by doing as `next` says
    std::string next;                  ///< what to do next, one or two sentences
};

/// Least squares over any number of readings for the cavity volume and n Vas together, with fs along as far as its
/// uncertainty lets it: the free resonance measured with the bottles, else the driver's (Hz, relative uncertainty).
/// Readings weigh by their uncertainty (default 0.5 %) and that of the bottle (default 1 %). Uncertainties from the
/// covariance (widened by `strain` above 1). With two readings and a sharp fs this is V = k2 dV/(k2 - k1), k =
/// (fc/fs)^2 - 1. Errors: fewer than two different bottles, a bottle not below the volume found, resonances that fall
/// with a larger bottle or lie below fs; field "readings", "readings/1/fc_hz", "free_resonance_hz".
Result<BottleFit> fitBottles(const BottlesMeasurement& bottles, double driverFs, double driverUncertainty,
                             UnitSystem units = UnitSystem::metric);

/// What to do next with the readings there are so far, also with none or one: for the guided page.
std::string nextBottleStep(const BottlesMeasurement& bottles, const CavityContext& context);

Result<VolumeReading> readingOf(const BottlesMeasurement& bottles, const CavityContext& context);

}  // namespace portwright
