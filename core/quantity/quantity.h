// SPDX-License-Identifier: GPL-3.0-or-later
// Where text and numbers meet: reading typed quantities with units, and showing figures as a workshop would.
#pragma once

#include "core/result.h"

#include <string>
#include <string_view>
#include <vector>

namespace portwright {

enum class Dimension {
    frequency,
    volume,
    area,
    length,
    bore,
    travel,
    mass,
    resistance,
    inductance,
    capacitance,
    forceFactor,
    compliance,
    mechanicalLoss,
    quality,
    ratio,
    voltage,
    power,
    level,
    airSpeed,
    distance,
    temperature,
    pressure,
    percent,
    count,
    angle,
    current
};
enum class UnitSystem { metric, us };

/// One unit of a dimension: SI value = (shown - zero) * times / per, so that 130 mm are 130/1000 and 68 degF
/// exactly 20.
struct Unit {
    std::string name = {};               ///< as shown, "mm"; empty for pure numbers
    std::vector<std::string> also = {};  ///< other spellings that are read, lower case
    double times = 1, per = 1;           ///< exact numbers, so that typed and filed values are the same double
    double zero = 0;                     ///< shown at SI zero (temperatures are kept in degC, so 32 for degF)
    int decimals = 1;                    ///< decimals in a field, at least
};

double toSi(const Unit& unit, double shown);
double fromSi(const Unit& unit, double si);

/// The unit a dimension is shown in, and all the units it may be typed in.
const Unit& shownUnit(Dimension dimension, UnitSystem system);
const std::vector<Unit>& knownUnits(Dimension dimension);

/// Reads "12.5", "12,5", "2.5 in" into SI. Errors are sentences: two decimal marks, not a number, unknown unit.
/// No grouping marks are read, so a mark is always a decimal mark.
Result<double> parseQuantity(std::string_view text, Dimension dimension, UnitSystem system);

/// "130.0" in the shown unit, for a field: at least the unit's decimals, and as many as the value needs (up to 6); a
/// value that came from another unit, and has no end in this one, with five digits.
std::string fieldText(double si, Dimension dimension, UnitSystem system);

/// "88.4 Hz" for sentences, cards and readouts: three significant digits and the style of each dimension, U+2212 minus,
/// U+00A0 before the unit, "\u2013" for a value that is not finite.
std::string formatQuantity(double si, Dimension dimension, UnitSystem system = UnitSystem::metric);
std::string formatNumber(double si, Dimension dimension,
                         UnitSystem system = UnitSystem::metric);  ///< the same without unit

/// Rounded towards harmlessness for sentences: a limit to stay under goes down, a corner to set goes up, to 2 or 3
/// digits.
double roundedDown(double value, int digits);
double roundedUp(double value, int digits);

}  // namespace portwright
