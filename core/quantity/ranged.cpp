// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/quantity/ranged.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr const char* plusMinus = "\u00B1";
constexpr const char* noBreak = "\u00A0";

// Rounded to 10^-decimals, without exponent; decimals below 0 round to tens and more.
std::string roundedText(double value, int decimals)
{
    const double step = std::pow(10.0, -decimals);  // rounds only to tens and more
    std::string text =
        decimals < 0 ? fmt::format("{:.0f}", std::round(value / step) * step) : fmt::format("{:.{}f}", value, decimals);
    if (text.front() != '-') return text;
    text.erase(0, 1);
    return text.find_first_not_of("0.") == std::string::npos ? text : "\u2212" + text;
}

// A difference has no zero of its own: 10 degC are 18 degF.
double shownDifference(const Unit& unit, double si) { return si * unit.per / unit.times; }

}  // namespace

int decimalsOfUncertainty(double shown)
{
    const auto place = [](double x) { return int(std::floor(std::log10(x))); };
    const double two = std::pow(10.0, place(shown) - 1);
    const double rounded = std::round(shown / two) * two * (1 + 1e-12);  // 0.0996 counts as 0.10
    const int first = place(rounded);
    const bool startsWithOne = rounded < 1.95 * std::pow(10.0, first);
    return startsWithOne ? 1 - first : -first;
}

std::string formatRanged(double si, double uncertainty, Dimension dimension, UnitSystem system)
{
    const Unit& unit = shownUnit(dimension, system);
    const double value = fromSi(unit, si), spread = shownDifference(unit, uncertainty);
    if (!std::isfinite(value) || !std::isfinite(spread) || !(spread > 1e-4 * std::abs(value)) || !(spread > 1e-6))
        return formatQuantity(si, dimension, system);
    const int decimals = decimalsOfUncertainty(spread);
    const std::string text =
        roundedText(value, decimals) + noBreak + plusMinus + noBreak + roundedText(spread, decimals);
    return unit.name.empty() ? text : text + noBreak + unit.name;
}

std::string formatUncertainty(double uncertainty, Dimension dimension, UnitSystem system)
{
    const Unit& unit = shownUnit(dimension, system);
    const double spread = shownDifference(unit, uncertainty);
    const bool shows = std::isfinite(spread) && spread > 1e-6;
    const std::string text = plusMinus + (shows ? roundedText(spread, decimalsOfUncertainty(spread)) : "0");
    return unit.name.empty() ? text : text + noBreak + unit.name;
}

}  // namespace portwright
