// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/constants.h"
#include "core/result.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// The air of a job as given. An absent value takes its default: 20 degC, 50 % relative humidity, 0 m.
struct AirConditions {
    std::optional<double> temperature;       ///< degC, -20..50
    std::optional<double> relativeHumidity;  ///< 0..1
    std::optional<double> altitude;          ///< m above sea level, -400..4000; excludes pressure
    std::optional<double> pressure;          ///< Pa, 60 000..110 000; excludes altitude
    UnknownKeys unknown;
    bool operator==(const AirConditions&) const = default;
};

/// Air as the acoustics needs it, SI.
struct Air {
    double rho = 0;               ///< density, kg/m3
    double c = 0;                 ///< sound speed, m/s
    double mu = 0;                ///< dynamic viscosity, Pa s
    double kappa = 0;             ///< thermal conductivity, W/(m K)
    double Pr = 0;                ///< Prandtl number
    double gamma = 1.4;           ///< ratio of specific heats
    double temperature = 0;       ///< degC
    double pressure = 0;          ///< Pa
    double relativeHumidity = 0;  ///< 0..1
    bool operator==(const Air&) const = default;
};

/// Static pressure [Pa] of the standard atmosphere at a geopotential altitude [m], up to 11 km.
/// Source: ISO 2533:1975; constant written from memory and checked against its table (see tests).
double pressureAtAltitude(double altitude);

/// Density of moist air [kg/m3]; t in degC, p in Pa, h relative humidity 0..1, CO2 mole fraction 0.0004.
/// Source: Picard, Davis, Glaser, Fujii, CIPM-2007, Metrologia 45 (2008) 149. Published for 15..27 degC, 60..110 kPa.
double moistAirDensity(double t, double p, double h);

/// Sound speed [m/s] in moist air at zero frequency, same arguments.
/// Source: Cramer, JASA 93 (1993) 2510, eq. 15. Published for 0..30 degC, 75..102 kPa.
double soundSpeed(double t, double p, double h);

/// Mole fraction of water vapour, from the CIPM-2007 saturation pressure and enhancement factor.
double waterVapourFraction(double t, double p, double h);

/// Dynamic viscosity [Pa s] and thermal conductivity [W/(m K)] at t degC. Source: forms of ISO 2533 / US Std Atmosphere
/// 1976.
double viscosity(double t);
double thermalConductivity(double t);

/// The air of a job. Errors: a value outside the ranges above, or both altitude and pressure given.
Result<Air> airAt(const AirConditions& conditions);

/// The same air, water and all, at another temperature [degC] or pressure [Pa], beyond the ranges above too: as it is
/// inside a bag in the sun, or up a pass. Its formulae are then beyond their published ranges.
Air airWarmedTo(const Air& air, double temperature);
Air airAtPressure(const Air& air, double pressure);

/// The air that datasheets are read in: 20 degC, 101 325 Pa, 50 % relative humidity.
const Air& referenceAir();

/// Sentences on where the conditions leave the published ranges of the formulae. Empty if nowhere.
std::vector<std::string> airNotes(const AirConditions& conditions);

}  // namespace portwright
