// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/air/air.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr double zeroCelsius = 273.15;                  // K
constexpr double carbonDioxide = 4e-4;                  // mole fraction
constexpr double standardPressure = 101325;             // Pa
constexpr double specificHeat = 1.4 / 0.4 * 287.05287;  // J/(kg K), dry ideal air

Result<void> checkRange(const char* field, const std::optional<double>& value, double low, double high,
                        const char* unit)
{
    if (!value || (std::isfinite(*value) && *value >= low && *value <= high)) return {};
    return fail(field, fmt::format("{} is {:g} {}; allowed is {:g} to {:g} {}", field, *value, unit, low, high, unit));
}

Air airOf(double t, double p, double h)
{
    Air air;
    air.rho = moistAirDensity(t, p, h);
    air.c = soundSpeed(t, p, h);
    air.mu = viscosity(t);
    air.kappa = thermalConductivity(t);
    air.Pr = air.mu * specificHeat / air.kappa;
    air.temperature = t;
    air.pressure = p;
    air.relativeHumidity = h;
    return air;
}

}  // namespace

double pressureAtAltitude(double altitude)
{
    return standardPressure * std::pow((288.15 - 0.0065 * altitude) / 288.15, 9.80665 / (287.05287 * 0.0065));
}

double waterVapourFraction(double t, double p, double h)
{
    const double T = t + zeroCelsius;
    const double psv = std::exp(1.2378847e-5 * T * T - 1.9121316e-2 * T + 33.93711047 - 6.3431645e3 / T);
    const double f = 1.00062 + 3.14e-8 * p + 5.6e-7 * t * t;
    return h * f * psv / p;
}

double moistAirDensity(double t, double p, double h)
{
    const double T = t + zeroCelsius;
    const double xv = waterVapourFraction(t, p, h);
    const double Z = 1 -
                     (p / T) * (1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t * t + (5.707e-6 - 2.051e-8 * t) * xv +
                                (1.9898e-4 - 2.376e-6 * t) * xv * xv) +
                     (p / T) * (p / T) * (1.83e-11 - 0.765e-8 * xv * xv);
    const double Ma = 28.96546e-3 + 12.011e-3 * (carbonDioxide - 4e-4);
    const double Mv = 18.01528e-3;
    const double R = 8.314472;
    return p * Ma / (Z * R * T) * (1 - xv * (1 - Mv / Ma));
}

double soundSpeed(double t, double p, double h)
{
    const double xv = waterVapourFraction(t, p, h);
    const double xc = carbonDioxide;
    return 331.5024 + 0.603055 * t - 0.000528 * t * t + (51.471935 + 0.1495874 * t - 0.000782 * t * t) * xv +
           (-1.82e-7 + 3.73e-8 * t - 2.93e-10 * t * t) * p + (-85.20931 - 0.228525 * t + 5.91e-5 * t * t) * xc -
           2.835149 * xv * xv - 2.15e-13 * p * p + 29.179762 * xc * xc + 0.000486 * xv * p * xc;
}

double viscosity(double t)
{
    const double T = t + zeroCelsius;
    return 1.458e-6 * std::pow(T, 1.5) / (T + 110.4);
}

double thermalConductivity(double t)
{
    const double T = t + zeroCelsius;
    return 2.64638e-3 * std::pow(T, 1.5) / (T + 245.4 * std::pow(10.0, -12 / T));
}

Result<Air> airAt(const AirConditions& conditions)
{
    if (conditions.altitude && conditions.pressure)
        return fail("altitude_m", "both altitude_m and pressure_pa are given; give one of them");
    for (const auto& checked :
         {checkRange("temperature_c", conditions.temperature, -20, 50, "degC"),
          checkRange("relative_humidity_pct",
                     conditions.relativeHumidity ? std::optional(100 * *conditions.relativeHumidity) : std::nullopt, 0,
                     100, "%"),
          checkRange("altitude_m", conditions.altitude, -400, 4000, "m"),
          checkRange("pressure_pa", conditions.pressure, 60000, 110000, "Pa")})
        if (!checked) return fail(checked.error());

    const double t = conditions.temperature.value_or(20);
    const double h = conditions.relativeHumidity.value_or(0.5);
    const double p = conditions.pressure ? *conditions.pressure : pressureAtAltitude(conditions.altitude.value_or(0));
    return airOf(t, p, h);
}

// Both keep the mole fraction of water, which goes with the relative humidity; what is too much for colder air
// condenses.
Air airWarmedTo(const Air& air, double temperature)
{
    const double xv = waterVapourFraction(air.temperature, air.pressure, air.relativeHumidity);
    const double h = std::min(xv / waterVapourFraction(temperature, air.pressure, 1), 1.0);
    return airOf(temperature, air.pressure, h);
}

Air airAtPressure(const Air& air, double pressure)
{
    const double xv = waterVapourFraction(air.temperature, air.pressure, air.relativeHumidity);
    const double h = std::min(xv / waterVapourFraction(air.temperature, pressure, 1), 1.0);
    return airOf(air.temperature, pressure, h);
}

const Air& referenceAir()
{
    static const Air air =
        *airAt({.temperature = 20.0, .relativeHumidity = 0.5, .altitude = {}, .pressure = 101325.0, .unknown = {}});
    return air;
}

std::vector<std::string> airNotes(const AirConditions& conditions)
{
    std::vector<std::string> notes;
    const auto air = airAt(conditions);
    if (!air) return notes;
    if (air->temperature < 15 || air->temperature > 27)
        notes.push_back(fmt::format(
            "{:g} \u00B0C is outside the 15 to 27 \u00B0C for which the density formula (CIPM-2007) is published; "
            "it is used all the same.",
            air->temperature));
    if (air->temperature < 0 || air->temperature > 30 || air->pressure < 75000 || air->pressure > 102000)
        notes.push_back(fmt::format(
            "{:g} \u00B0C at {:.0f} hPa is outside the 0 to 30 \u00B0C and 750 to 1020 hPa for which the sound speed "
            "formula (Cramer 1993) is published; it is used all the same.",
            air->temperature, air->pressure / 100));
    return notes;
}

}  // namespace portwright
