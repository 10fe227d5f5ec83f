// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/exact_number.h"

#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <limits>
#include <string_view>

namespace portwright {

namespace {

// Digits of the shortest decimal that reads back to the value.
std::size_t digitsOf(double value)
{
    std::array<char, 64> text;
    const auto end = std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::scientific).ptr;
    const std::string_view written(text.data(), static_cast<std::size_t>(end - text.data()));
    std::size_t digits = 0;
    for (char c : written.substr(0, written.find('e')))
        digits += c >= '0' && c <= '9';
    return digits;
}

}  // namespace

double siValue(double number, double perSi) { return number / perSi + 0.0; }

double fileNumber(double si, double perSi)
{
    const double centre = si * perSi + 0.0;
    if (perSi == 1 || !std::isfinite(centre)) return centre;
    constexpr int reach = 3;  // doubles to each side: a quotient's rounding spans at most two of them
    double number = centre;
    for (int i = 0; i < reach; ++i)
        number = std::nextafter(number, -std::numeric_limits<double>::infinity());

    double best = centre;
    double bestMiss = std::abs(siValue(centre, perSi) - si);
    for (int i = 0; i <= 2 * reach; ++i, number = std::nextafter(number, std::numeric_limits<double>::infinity())) {
        const double miss = std::abs(siValue(number, perSi) - si);
        const bool shorter = miss == bestMiss && miss == 0 && digitsOf(number) < digitsOf(best);
        if (miss < bestMiss || shorter) {
            best = number;
            bestMiss = miss;
        }
    }
    return best;
}

}  // namespace portwright
