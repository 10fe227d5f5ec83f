// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/quantity/quantity.h"

#include <catch2/catch.hpp>
#include <clocale>
#include <cmath>
#include <limits>
#include <rapidcheck/catch.h>

using namespace portwright;

namespace {

constexpr auto metric = UnitSystem::metric;
constexpr auto us = UnitSystem::us;

double read(std::string_view text, Dimension dimension, UnitSystem system = metric)
{
    const auto value = parseQuantity(text, dimension, system);
    INFO(text);
    REQUIRE(value);
    return *value;
}

std::string refusal(std::string_view text, Dimension dimension)
{
    const auto value = parseQuantity(text, dimension, metric);
    INFO(text);
    REQUIRE(!value);
    return value.error().message;
}

}  // namespace

TEST_CASE("both decimal marks mean the same")
{
    CHECK(read("12.5", Dimension::bore) == 12.5 / 1000);
    CHECK(read("12,5", Dimension::bore) == 12.5 / 1000);
    CHECK(read(" 12,5 mm ", Dimension::bore) == 12.5 / 1000);
    CHECK(read(".5", Dimension::quality) == 0.5);
    CHECK(read("5.", Dimension::quality) == 5);
}

TEST_CASE("typed units are understood, with or without a blank, in any case")
{
    CHECK(read("2.5 in", Dimension::bore) == 63.5 / 1000);
    CHECK(read("2.5in", Dimension::length) == 63.5 / 1000);
    CHECK(read("2,5\"", Dimension::length) == 63.5 / 1000);
    CHECK(read("13 CM", Dimension::length) == 0.13);
    CHECK(read("0.13 m", Dimension::length) == 0.13);
    CHECK(read("1 ft", Dimension::distance) == 0.3048);
    for (const char* text :
         {"1.6 L", "1.6 l", "1.6 litres", "1600 ml", "1600 cm3", "1600 cm\u00B3", "1600 cc", "0.0016 m3"})
        CHECK(read(text, Dimension::volume) == Approx(0.0016).epsilon(1e-15));
    CHECK(read("1 ft3", Dimension::volume) == Approx(0.028316846592).epsilon(1e-15));
    CHECK(read("1 in3", Dimension::volume) == Approx(16.387064e-6).epsilon(1e-15));
    CHECK(read("132 cm2", Dimension::area) == 0.0132);
    CHECK(read("1 in\u00B2", Dimension::area) == Approx(6.4516e-4).epsilon(1e-15));
    CHECK(read("1.02 kHz", Dimension::frequency) == 1020);
    CHECK(read("250 uH", Dimension::inductance) == Approx(0.25e-3).epsilon(1e-15));
    CHECK(read("250 \u00B5H", Dimension::inductance) == read("250 \u03BCH", Dimension::inductance));
    CHECK(read("3.3 ohm", Dimension::resistance) == 3.3);
    CHECK(read("3.3 \u03A9", Dimension::resistance) == 3.3);
    CHECK(read("68 degF", Dimension::temperature) == 20);
    CHECK(read("68", Dimension::temperature, us) == 20);
    CHECK(read("36 km/h", Dimension::airSpeed) == 10);
    CHECK(read("1 oz", Dimension::mass) == Approx(0.028349523125).epsilon(1e-15));
    CHECK(read("5.45 T m", Dimension::forceFactor) == 5.45);
    CHECK(read("50", Dimension::percent) == 0.5);
    CHECK(read("1013.25", Dimension::pressure) == 101325);
}

TEST_CASE("typographic minus and blanks are read")
{
    CHECK(read("\u221212,5\u00A0\u00B0C", Dimension::temperature) == -12.5);
    CHECK(read("+3 dB", Dimension::level) == 3);
    CHECK(!std::signbit(read("-0", Dimension::level)));
}

TEST_CASE("what cannot be read is refused with a sentence, never guessed")
{
    CHECK(refusal("12.5.3", Dimension::bore) == "\"12.5.3\" has two decimal marks. Write 12.5 or 12,5.");
    CHECK(refusal("1,234.5", Dimension::bore) == "\"1,234.5\" has two decimal marks. Write 1.234 or 1,234.");
    CHECK(refusal("12 kg", Dimension::length) == "\"kg\" is not a unit of length. Write mm, cm, m, in or ft.");
    CHECK(refusal("0.5 x", Dimension::quality) == "a quality factor has no unit; write the number without \"x\".");
    for (const char* text : {"", "  ", "abc", "nan", "inf", "-", ",", "--3", "1 2", "0x10", "mm", "1e", "1e999"})
        CHECK_FALSE(refusal(text, Dimension::length).empty());
    CHECK(refusal("1e999", Dimension::length) == "\"1e999\" is beyond any number reckoned with here.");
}

TEST_CASE("figures are shown as a workshop would")
{
    const auto shown = [](double si, Dimension d) { return formatQuantity(si, d); };
    CHECK(shown(88.4, Dimension::frequency) == "88.4\u00A0Hz");
    CHECK(shown(143.2, Dimension::frequency) == "143\u00A0Hz");
    CHECK(shown(1020, Dimension::frequency) == "1.02\u00A0kHz");
    CHECK(shown(999.7, Dimension::frequency) == "1.00\u00A0kHz");
    CHECK(shown(99.96, Dimension::frequency) == "100\u00A0Hz");
    CHECK(shown(0.0016, Dimension::volume) == "1.6\u00A0L");
    CHECK(shown(0.005, Dimension::volume) == "5.0\u00A0L");
    CHECK(shown(0.035, Dimension::volume) == "35\u00A0L");
    CHECK(shown(0.13, Dimension::length) == "130\u00A0mm");
    CHECK(shown(0.0545, Dimension::bore) == "54.5\u00A0mm");
    CHECK(shown(0.5532, Dimension::quality) == "0.553");
    CHECK(shown(5.1, Dimension::quality) == "5.10");
    CHECK(shown(0.0123, Dimension::mass) == "12.3\u00A0g");
    CHECK(shown(5.45, Dimension::forceFactor) == "5.45\u00A0N/A");
    CHECK(shown(0.25e-3, Dimension::inductance) == "0.25\u00A0mH");
    CHECK(shown(104.26, Dimension::level) == "104.3\u00A0dB");
    CHECK(shown(-6.02, Dimension::level) == "\u22126.0\u00A0dB");
    CHECK(shown(-0.01, Dimension::level) == "0.0\u00A0dB");
    CHECK(shown(0.0024, Dimension::travel) == "2.4\u00A0mm");
    CHECK(shown(24.68, Dimension::airSpeed) == "24.7\u00A0m/s");
    CHECK(shown(3.3, Dimension::resistance) == "3.3\u00A0\u03A9");
    CHECK(shown(13.66, Dimension::resistance) == "13.7\u00A0\u03A9");
    CHECK(shown(0.917, Dimension::resistance) == "0.92\u00A0\u03A9");
    CHECK(shown(0.0052, Dimension::resistance) == "0.0052\u00A0\u03A9");
    CHECK(shown(14.14, Dimension::voltage) == "14.1\u00A0V");
    CHECK(shown(4.6, Dimension::voltage) == "4.6\u00A0V");
    CHECK(shown(50.2, Dimension::power) == "50\u00A0W");
    CHECK(shown(2.5, Dimension::power) == "2.5\u00A0W");
    CHECK(formatNumber(1020, Dimension::frequency) == "1020");
    CHECK(formatQuantity(0.0016, Dimension::volume, us) == "0.0565\u00A0ft\u00B3");
    CHECK(formatQuantity(17, Dimension::airSpeed, us) == "55.8\u00A0ft/s");
    CHECK(formatQuantity(0.004, Dimension::travel, us) == "4.0\u00A0mm");  // driver sheets give it so everywhere
}

TEST_CASE("what is not finite is shown as unknown, with no unit")
{
    for (double value :
         {std::nan(""), std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()}) {
        CHECK(formatQuantity(value, Dimension::frequency) == "\u2013");
        CHECK(formatNumber(value, Dimension::volume) == "\u2013");
        CHECK(fieldText(value, Dimension::volume, metric) == "\u2013");
    }
}

TEST_CASE("a field shows the unit's decimals, and more where the value has them")
{
    CHECK(fieldText(0.13, Dimension::length, metric) == "130.0");
    CHECK(fieldText(0.05425, Dimension::bore, metric) == "54.25");
    CHECK(fieldText(0.0016, Dimension::volume, metric) == "1.60");
    CHECK(fieldText(0.0635, Dimension::bore, us) == "2.50");
    CHECK(fieldText(20, Dimension::temperature, us) == "68.0");
    CHECK(fieldText(4, Dimension::count, metric) == "4");
}

TEST_CASE("a field shows a value of another unit system in five digits, one of its own with all it has")
{
    CHECK(fieldText(0.0132, Dimension::area, us) == "20.46");     // 20.460041 in2
    CHECK(fieldText(0.0098, Dimension::volume, us) == "0.3461");  // 0.346084 ft3, trailing zeros off
    CHECK(fieldText(0.123456, Dimension::length, metric) == "123.456");
    CHECK(fieldText(0.0123456789, Dimension::length, metric) == "12.346");
}

TEST_CASE("what a field shows is read back as the same value")
{
    rc::prop("any dimension, any decimal of a field", [] {
        const auto dimension = static_cast<Dimension>(*rc::gen::inRange(0, static_cast<int>(Dimension::current) + 1));
        const double si = toSi(shownUnit(dimension, metric), *rc::gen::inRange(-1000000, 1000000) / 1000.0);
        const auto back = parseQuantity(fieldText(si, dimension, metric), dimension, metric);
        RC_ASSERT(back.has_value());
        RC_ASSERT(std::abs(*back - si) <= 1e-12 * std::abs(si));
    });
}

TEST_CASE("every unit leads to SI and back, and its own name is read in its dimension")
{
    for (int i = 0; i <= static_cast<int>(Dimension::current); ++i) {
        const auto dimension = static_cast<Dimension>(i);
        for (const Unit& unit : knownUnits(dimension)) {
            CHECK(fromSi(unit, toSi(unit, 7.25)) == Approx(7.25).epsilon(1e-14));
            CHECK(read("7.25" + unit.name, dimension) == toSi(unit, 7.25));
            for (const std::string& spelling : unit.also)
                CHECK(read("7,25 " + spelling, dimension) == toSi(unit, 7.25));
        }
    }
}

TEST_CASE("rounding for sentences never goes towards harm")
{
    CHECK(roundedDown(4.66, 2) == 4.6);
    CHECK(roundedDown(4.6, 2) == 4.6);
    CHECK(roundedDown(0.29, 2) == 0.29);
    CHECK(roundedDown(1234, 2) == 1200);
    CHECK(roundedUp(62.1, 2) == 63);
    CHECK(roundedUp(63, 2) == 63);
    CHECK(roundedUp(99.2, 2) == 100);
    CHECK(roundedUp(0, 2) == 0);
    rc::prop("down is not above, up is not below, and both are near", [] {
        const double value = *rc::gen::inRange(1, 10000000) / 1000.0;
        const double down = roundedDown(value, 3), up = roundedUp(value, 3);
        RC_ASSERT(down <= value * (1 + 1e-9) && down > value * 0.99);
        RC_ASSERT(up >= value * (1 - 1e-9) && up < value * 1.0101);
    });
}

TEST_CASE("arbitrary bytes never crash the reader")
{
    rc::prop("any text, any dimension", [](const std::string& text) {
        const auto dimension = static_cast<Dimension>(*rc::gen::inRange(0, static_cast<int>(Dimension::current) + 1));
        const auto value = parseQuantity(text, dimension, us);
        RC_ASSERT((value ? std::isfinite(*value) : !value.error().message.empty()));
    });
}
