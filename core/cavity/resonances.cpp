// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/resonances.h"

#include "core/constants.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr double smallest = 2e-5, largest = 2;  // m3, net volumes of the project file
constexpr double worstTightQ = 5;

std::string hertz(double f) { return formatQuantity(f, Dimension::frequency); }
std::string litres(double V, UnitSystem units) { return formatQuantity(V, Dimension::volume, units); }

// |Z/Re|^2 of a driver in a leaky closed cavity at u = f/fs; l = fc/(fs QL).
double impedanceSquared(const CompleteDriver& d, double alpha, double l, double u)
{
    const std::complex<double> ju(0, u);
    const std::complex<double> load = ju + 1 / d.Qms + 1.0 / ju + alpha / (ju + l);
    return std::norm(1.0 + 1.0 / (d.Qes * load));
}

double peakOf(const CompleteDriver& d, double alpha, double l)
{
    const double uc = std::sqrt(1 + alpha), golden = (std::sqrt(5.0) - 1) / 2;
    double low = 0.8 * uc, high = 1.2 * uc;
    while (high - low > 1e-9 * uc) {
        const double step = golden * (high - low), a = high - step, b = low + step;
        const bool left = impedanceSquared(d, alpha, l, a) > impedanceSquared(d, alpha, l, b);
        (left ? high : low) = left ? b : a;
    }
    return (low + high) / 2;
}

// Im = 0: (U - 1)(U + l^2) = alpha U with U = u^2.
double phaseZeroSquared(double alpha, double l)
{
    const double b = 1 + alpha - l * l;
    return (b + std::hypot(b, 2 * l)) / 2;
}

std::string leakRemark(const LeakBias& bias)
{
    return fmt::format("fc is the frequency where the impedance is greatest. A leak of QL 5 would make this volume "
                       "{:.1f}\u00A0% too {}; where the phase is zero is off by {:.1f}\u00A0% then.",
                       100 * std::abs(bias.byPeak - 1), bias.byPeak < 1 ? "small" : "large",
                       100 * std::abs(bias.byPhase - 1));
}

}  // namespace

SpringGauge gaugeOf(const CavityContext& context)
{
    const Driver& d = context.driver.driver;
    const double n = context.housing.driverCount.value_or(1);
    const Air& air = context.air;
    return {context.driver.fs, n * air.rho * air.c * air.c * d.Sd * d.Sd * d.Cms};
}

double closedVolume(double fc, double fs, double spring) { return spring / ((fc / fs) * (fc / fs) - 1); }

double closedResonance(double volume, double fs, double spring) { return fs * std::sqrt(1 + spring / volume); }

LeakBias leakBias(const CompleteDriver& driver, double springOverVolume, double QL)
{
    const double alpha = springOverVolume, l = std::sqrt(1 + alpha) / QL;
    const double peak = peakOf(driver, alpha, l);
    return {alpha / (peak * peak - 1), alpha / (phaseZeroSquared(alpha, l) - 1)};
}

Result<VolumeReading> readingOf(const ResonanceMeasurement& resonance, const CavityContext& context)
{
    const SpringGauge gauge = gaugeOf(context);
    const double fc = resonance.fc, fs = gauge.fs, u = resonance.uncertainty.value_or(0.005 * fc);
    if (!(fc > fs * (1 + 1e-6)) || !std::isfinite(fc))
        return fail("fc_hz", fmt::format("the closed resonance is {}, not above the driver's {} in open air; a closed "
                                         "cavity always raises it: look for an opening, or another driver",
                                         hertz(fc), hertz(fs)));
    if (!(u > 0 && u < fc))
        return fail("uncertainty_hz", "the uncertainty of the resonance must lie between 0 and the resonance itself; "
                                      "leave it out for 0.5\u00A0%");
    const double V = closedVolume(fc, fs, gauge.spring);
    if (!(V >= smallest && V <= largest))
        return fail("fc_hz", fmt::format("a closed resonance of {} with this driver stands for {}; allowed is {} to {}",
                                         hertz(fc), litres(V, context.units), litres(smallest, context.units),
                                         litres(largest, context.units)));
    const double rise = fc * fc - fs * fs;
    const LeakBias leak = leakBias(context.driver, gauge.spring / V, worstTightQ);
    const double fromFc = 2 * fc * u / rise, fromFs = 2 * fs * fs * gauge.fsUncertainty / rise;
    const double fromLeak = std::abs(leak.byPeak - 1) / std::sqrt(3.0);
    VolumeReading reading;
    reading.volume = V;
    reading.uncertainty = V * std::hypot(std::hypot(fromFc, fromFs), std::hypot(gauge.pushUncertainty, fromLeak));
    reading.inPlace = InPlace::everything;
    reading.method = "closed resonance of the driver";
    reading.remarks.push_back(leakRemark(leak));
    if (gauge.spring < V)
        reading.remarks.push_back(fmt::format("The driver's suspension is stiffer than this air (Vas {} in all): a "
                                              "driver with a softer one, or with bottles, tells the volume better.",
                                              litres(gauge.spring, context.units)));
    return reading;
}

}  // namespace portwright
