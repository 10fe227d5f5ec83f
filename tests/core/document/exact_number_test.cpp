// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/exact_number.h"

#include "core/document/json_text.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <rapidcheck/catch.h>
#include <string>

using namespace portwright;

namespace {

constexpr double factors[] = {1, 100, 1000, 1e4, 1e6};

double randomDouble(unsigned seed)  // any mantissa, sizes from 1e-12 to 1e12
{
    std::mt19937_64 random(seed);
    const double size = std::pow(10.0, std::uniform_real_distribution<double>(-12, 12)(random));
    return std::uniform_real_distribution<double>(1, 10)(random) * size * (random() % 2 ? 1 : -1);
}

}  // namespace

TEST_CASE("a number of the file that is read and written stays the number of the file")
{
    rc::prop("decimals of up to nine digits, every factor", [] {
        const int digits = *rc::gen::inRange(1, 1000000000);
        const double number = std::stod(std::to_string(digits) + "e" + std::to_string(*rc::gen::inRange(-12, 4)));
        for (double factor : factors)
            RC_ASSERT(fileNumber(siValue(number, factor), factor) == number);
    });
    CHECK(fileNumber(0.13, 1000) == 130);
    CHECK(fileNumber(0.0016, 1000) == 1.6);
    CHECK(fileNumber(0.0132, 1e4) == 132);
}

TEST_CASE("what was read from a file reads back to the same double after writing")
{
    rc::prop("any double, every factor", [] {
        const double number = randomDouble(*rc::gen::arbitrary<unsigned>());
        for (double factor : factors) {
            const double si = siValue(number, factor);
            RC_ASSERT(siValue(fileNumber(si, factor), factor) == si);
        }
    });
}

TEST_CASE("an SI value that no decimal holds moves once, by less than one part in 1e15, and then stays")
{
    int moved = 0;
    rc::prop("any double, every factor", [&moved] {
        const double si = randomDouble(*rc::gen::arbitrary<unsigned>());
        for (double factor : factors) {
            const double held = siValue(fileNumber(si, factor), factor);
            RC_ASSERT(std::abs(held - si) <= 1e-15 * std::abs(si));
            RC_ASSERT(siValue(fileNumber(held, factor), factor) == held);
            moved += held != si;
        }
    });
    CHECK(moved > 0);  // such values exist, or the case would be empty
}

TEST_CASE("no shorter decimal reads back to the same SI value")
{
    rc::prop("any double read from a file", [] {
        const double number = randomDouble(*rc::gen::arbitrary<unsigned>());
        const double si = siValue(number, 1000);
        const std::string text = std::get<JsonNumber>(jsonNumber(fileNumber(si, 1000)).value).text;
        std::size_t digits = 0;
        for (char c : text.substr(text.find_first_of("123456789"))) {
            if (c == 'e') break;
            digits += c != '.' && c != '-';
        }
        if (text.find('e') == std::string::npos && text.ends_with(".0")) --digits;
        for (int shorter = 1; shorter < static_cast<int>(digits); ++shorter) {
            char buffer[64];
            std::snprintf(buffer, sizeof buffer, "%.*e", shorter - 1, si * 1000);
            const bool trailingZeros =
                std::stod(buffer) == fileNumber(si, 1000);  // 1200.0 counts four digits, but is 1.2e3
            RC_ASSERT((trailingZeros || siValue(std::stod(buffer), 1000) != si));
        }
    });
}

TEST_CASE("zero is written without a sign")
{
    CHECK(!std::signbit(siValue(-0.0, 1000)));
    CHECK(!std::signbit(fileNumber(-0.0, 1)));
}
