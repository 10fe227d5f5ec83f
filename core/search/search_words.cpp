// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/search_words.h"

#include <cmath>
#include <fmt/format.h>

namespace portwright::searching {

namespace {

std::string plain(double x, Dimension dimension, UnitSystem units)
{
    return dimension == Dimension::level ? decibels(x) : formatQuantity(x, dimension, units);
}

}  // namespace

std::string hertz(double f) { return formatQuantity(f, Dimension::frequency); }
std::string decibels(double x) { return fmt::format("{:.1f}\u00A0dB", x); }

std::pair<std::string, std::string> compared(double a, double b, Dimension dimension, UnitSystem units)
{
    std::pair<std::string, std::string> words{plain(a, dimension, units), plain(b, dimension, units)};
    if (a == b || !std::isfinite(a) || !std::isfinite(b)) return words;
    const Unit& unit = shownUnit(dimension, units);
    constexpr int most = 9;
    for (int decimals = 1; words.first == words.second && decimals <= most; ++decimals) {
        const auto told = [&](double x) {
            return fmt::format("{:.{}f}{}{}", fromSi(unit, x), decimals, unit.name.empty() ? "" : "\u00A0", unit.name);
        };
        words = {told(a), told(b)};
    }
    return words;
}

}  // namespace portwright::searching
