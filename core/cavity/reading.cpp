// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/reading.h"

#include "core/cavity/fill.h"
#include "core/cavity/resonances.h"
#include "core/cavity/sections.h"
#include "core/cavity/solids.h"

#include <array>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

Result<VolumeReading> readingOfMethod(const FillMeasurement& m, const CavityContext& c)
{
    return readingOf(m, c.units);
}
Result<VolumeReading> readingOfMethod(const SectionsMeasurement& m, const CavityContext& c)
{
    return readingOf(m, c.units);
}
Result<VolumeReading> readingOfMethod(const SolidsMeasurement& m, const CavityContext& c)
{
    return readingOf(m, c.units);
}
Result<VolumeReading> readingOfMethod(const ScanMeasurement& m, const CavityContext& c)
{
    return readingOf(m, c.units);
}
Result<VolumeReading> readingOfMethod(const StatedVolume& m, const CavityContext& c) { return readingOf(m, c.units); }

// A resonance feels the lining: what it calls volume is fill_factor times the air. How much a lining adds is known to a
// third of it (common practice, no source).
VolumeReading withoutLining(VolumeReading reading, const CavityContext& c)
{
    const double fill = c.housing.cavity.fillFactor.value_or(1);
    if (!(fill > 1)) return reading;
    reading.uncertainty = std::hypot(reading.uncertainty, reading.volume * (fill - 1) / fill / 3) / fill;
    reading.remarks.push_back(
        fmt::format("The resonance says {}; with the fill factor {:g} of the lining that is {} of "
                    "air.",
                    formatQuantity(reading.volume, Dimension::volume, c.units), fill,
                    formatQuantity(reading.volume / fill, Dimension::volume, c.units)));
    reading.volume /= fill;
    return reading;
}

template <class Resonances> Result<VolumeReading> resonanceReading(const Resonances& m, const CavityContext& c)
{
    if (c.cavity != CavityId::main)
        return fail("kind", "the driver does not stand in the second cavity; a resonance says nothing of it alone");
    return readingOf(m, c).transform([&](VolumeReading reading) {
        reading.inPlace = InPlace::everything;
        return withoutLining(std::move(reading), c);
    });
}
Result<VolumeReading> readingOfMethod(const ResonanceMeasurement& m, const CavityContext& c)
{
    return resonanceReading(m, c);
}
Result<VolumeReading> readingOfMethod(const BottlesMeasurement& m, const CavityContext& c)
{
    return resonanceReading(m, c);
}

bool isResonance(const Measurement& m)
{
    return std::holds_alternative<ResonanceMeasurement>(m.method) ||
           std::holds_alternative<BottlesMeasurement>(m.method);
}

}  // namespace

Result<VolumeReading> readingOf(const ScanMeasurement& scan, UnitSystem)
{
    if (!(scan.volume > 0)) return fail("volume_l", "the scan has no volume yet; read its file");
    if (!(scan.uncertainty > 0))
        return fail("uncertainty_l", "the scan's volume has no uncertainty; read its file again");
    return VolumeReading{.volume = scan.volume,
                         .uncertainty = scan.uncertainty,
                         .method = scan.wall ? "scan of the outside, less its wall" : "scan"};
}

Result<VolumeReading> readingOf(const StatedVolume& stated, UnitSystem)
{
    if (!(stated.volume > 0)) return fail("volume_l", "the volume is not above 0; write the volume that is known");
    VolumeReading reading{.volume = stated.volume, .uncertainty = stated.uncertainty, .method = "stated volume"};
    if (!(stated.uncertainty > 0)) {
        reading.uncertainty = 0.1 * stated.volume;
        reading.remarks.push_back("The stated volume has no uncertainty; 10 % are assumed.");
    }
    return reading;
}

Result<VolumeReading> readingOf(const Measurement& measurement, const CavityContext& context)
{
    return std::visit([&](const auto& method) { return readingOfMethod(method, context); }, measurement.method)
        .transform([&](VolumeReading reading) {
            if (!isResonance(measurement)) reading.inPlace = measurement.inPlace.value_or(InPlace::nothing);
            if (isResonance(measurement) && measurement.inPlace == InPlace::nothing)
                reading.remarks.push_back(
                    "The file says that nothing is in place, but a resonance hears the air left around driver and "
                    "ports: it is reckoned with everything in place, and no deduction comes off it.");
            reading.unused = measurement.unused;
            return reading;
        });
}

std::string nameOf(const Measurement& measurement)
{
    constexpr std::array names{"Fill", "Sections", "Solids", "Scan", "Closed resonance", "Bottles", "Stated volume"};
    static_assert(names.size() == std::variant_size_v<decltype(Measurement::method)>);
    return names[measurement.method.index()];
}

}  // namespace portwright
