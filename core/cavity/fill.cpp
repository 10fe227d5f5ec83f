// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/fill.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

namespace portwright {

namespace {

// Common practice, no source: what one filling leaves open, relative standard uncertainties.
constexpr double waterBrim = 0.01;                              // brim, liner, trapped air
constexpr double waterRepeat = 0.02, dryRepeat = 0.04;          // one reading alone: its unknown spread
constexpr double usualPacking = 0.03;                           // dry, poured back as it was poured in
constexpr double waterSpreadTold = 0.02, drySpreadTold = 0.05;  // above: a remark
constexpr double littleForCavity = 0.1e-3;                      // m3, below: a slip of the unit is likelier
constexpr double usualTemperature = 20;                         // degC
constexpr double usualScaleStep = 0.005;                        // kg
constexpr double usualVesselStep = 50e-6;                       // m3
constexpr double buoyancy = 0.001;  // a scale in air shows 0.1 % less than the mass; not corrected

double square(double x) { return x * x; }

struct Readings {
    double mean = 0, deviation = 0;  // of the readings
    int count = 0;
};

Readings statisticsOf(const std::vector<double>& values)
{
    Readings r;
    r.count = static_cast<int>(values.size());
    r.mean = std::accumulate(values.begin(), values.end(), 0.0) / r.count;
    double squares = 0;
    for (const double value : values)
        squares += square(value - r.mean);
    if (r.count > 1) r.deviation = std::sqrt(squares / (r.count - 1));
    return r;
}

std::string mediumName(FillMedium medium)
{
    switch (medium) {
    case FillMedium::waterByWeight:
        return "water by weight";
    case FillMedium::waterByVolume:
        return "water by volume";
    case FillMedium::dry:
        break;
    }
    return "dry fill";
}

std::optional<Error> troubleIn(const std::vector<double>& values, const std::string& key)
{
    const bool begun = std::any_of(values.begin(), values.end(), [](double value) { return value != 0; });
    if (!begun) return Error{key, "there is no reading yet; fill the cavity and write down at least one"};
    for (std::size_t i = 0; i < values.size(); ++i)
        if (!(values[i] >= 0) || !std::isfinite(values[i]))
            return Error{fmt::format("{}/{}", key, i),
                         fmt::format("reading {} is not above 0; a filled cavity holds something", i + 1)};
    return std::nullopt;
}

// A row just begun stands at 0 until it is typed.
std::vector<double> written(std::vector<double> values)
{
    std::erase(values, 0.0);
    return values;
}

// Relative uncertainty of the water's density, from how well its temperature is known.
double densityUncertainty(const FillMeasurement& fill)
{
    const double t = fill.temperature.value_or(usualTemperature), within = fill.temperature ? 1 : 10;  // K, a rectangle
    const double change = (waterDensity(std::min(t + 0.5, 40.0)) - waterDensity(std::max(t - 0.5, 0.0))) /
                          (std::min(t + 0.5, 40.0) - std::max(t - 0.5, 0.0));
    return std::abs(change) * within / std::sqrt(3.0) / waterDensity(t);
}

// What was not written down beside the readings, and is reckoned with all the same.
void remarkAssumed(VolumeReading& reading, const FillMeasurement& fill, UnitSystem units)
{
    std::string assumed;
    const auto add = [&assumed](std::string what) { assumed += (assumed.empty() ? "" : ", ") + std::move(what); };
    if (fill.medium == FillMedium::waterByWeight) {
        if (!fill.temperature) add("water at " + formatQuantity(usualTemperature, Dimension::temperature, units));
        if (!fill.massResolution) add("a scale step of " + formatQuantity(usualScaleStep, Dimension::mass, units));
    } else if (!fill.volumeResolution) {
        add("a vessel step of " + formatQuantity(usualVesselStep, Dimension::volume, units));
    }
    if (!fill.residue) add("nothing left behind");
    if (!assumed.empty()) reading.remarks.push_back("Not given, so assumed: " + assumed + ".");
}

void remarkOn(VolumeReading& reading, const FillMeasurement& fill, const Readings& r)
{
    const bool dry = fill.medium == FillMedium::dry;
    if (reading.volume < littleForCavity)
        reading.remarks.push_back(fmt::format("This is very little for a cavity; was {} meant?",
                                              fill.medium == FillMedium::waterByWeight ? "kilograms, typed as grams,"
                                                                                       : "more, or another unit,"));
    const double spread = r.deviation / r.mean;
    if (r.count == 1)
        reading.remarks.push_back(fmt::format("One reading shows no spread; {:.0f} % are assumed. Two more would tell.",
                                              100 * (dry ? dryRepeat : waterRepeat)));
    else if (spread > (dry ? drySpreadTold : waterSpreadTold))
        reading.remarks.push_back(
            fmt::format("The readings spread by {:.1f} %, more than careful filling does; repeat the one that stands "
                        "apart.",
                        100 * spread));
}

}  // namespace

double waterDensity(double t)
{
    const double numerator =
        999.83952 +
        t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))));
    return numerator / (1 + 16.879850e-3 * t);
}

double fewReadingsFactor(int n)
{
    const double v = n - 1;                                              // degrees of freedom
    if (n <= 2) return std::tan(pi / 2 * std::erf(1 / std::sqrt(2.0)));  // Student's t with one degree: Cauchy
    return 1 + 1 / (2 * v) + 1 / (4 * v * v) + 1 / (16 * v * v * v);
}

Result<VolumeReading> readingOf(const FillMeasurement& fill, UnitSystem units)
{
    const bool weighed = fill.medium == FillMedium::waterByWeight, dry = fill.medium == FillMedium::dry;
    const std::vector<double>& values = weighed ? fill.masses : fill.volumes;
    if (auto trouble = troubleIn(values, weighed ? "readings_g" : "readings_l")) return fail(*trouble);

    const Readings r = statisticsOf(written(values));
    const double perReading =
        weighed ? 1 / waterDensity(fill.temperature.value_or(usualTemperature)) : 1;  // m3 for one kg or m3
    const double filled = r.mean * perReading, residue = fill.residue.value_or(0);
    const double spread = r.count > 1 ? perReading * fewReadingsFactor(r.count) * r.deviation / std::sqrt(r.count)
                                      : filled * (dry ? dryRepeat : waterRepeat);
    const double step =
        weighed ? fill.massResolution.value_or(usualScaleStep) : fill.volumeResolution.value_or(usualVesselStep);
    double variance = square(spread) + square(perReading * step) / 12 + square(residue) / 3;
    variance += square(filled * (dry ? fill.packingDifference.value_or(usualPacking) : waterBrim));
    if (weighed) variance += square(filled) * (square(densityUncertainty(fill)) + square(buoyancy));

    VolumeReading reading{
        .volume = filled + residue,
        .uncertainty = std::sqrt(variance),
        .method = fmt::format("{}, {} {}", mediumName(fill.medium), r.count, r.count == 1 ? "reading" : "readings")};
    remarkOn(reading, fill, r);
    remarkAssumed(reading, fill, units);
    return reading;
}

}  // namespace portwright
