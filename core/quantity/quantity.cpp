// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/quantity/quantity.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace portwright {

namespace {

constexpr const char* minusSign = "\u2212";
constexpr const char* noBreakSpace = "\u00A0";
constexpr const char* unknownMark = "\u2013";

/// The units of one dimension; the first is the metric one shown, `us` the place of the one shown in US units.
struct UnitSet {
    std::string what;  ///< for messages: "a length"
    std::vector<Unit> units;
    std::size_t us = 0;
};

UnitSet lengthUnits(std::string what, bool inchesShown)
{
    return {std::move(what),
            {{.name = "mm", .also = {"millimetre", "millimetres", "millimeter", "millimeters"}, .per = 1000},
             {.name = "cm", .per = 100, .decimals = 2},
             {.name = "m", .also = {"metre", "metres", "meter", "meters"}, .decimals = 3},
             {.name = "in", .also = {"inch", "inches", "\"", "\u2033"}, .times = 25.4, .per = 1000, .decimals = 2},
             {.name = "ft", .also = {"foot", "feet", "'", "\u2032"}, .times = 304.8, .per = 1000, .decimals = 3}},
            inchesShown ? 3u : 0u};
}

UnitSet volumeUnits()
{
    return {
        "a volume",
        {{.name = "L", .also = {"litre", "litres", "liter", "liters", "dm3", "dm\u00B3"}, .per = 1000, .decimals = 2},
         {.name = "ml", .per = 1e6},
         {.name = "cm\u00B3", .also = {"cm3", "cm^3", "ccm", "cc"}, .per = 1e6},
         {.name = "m\u00B3", .also = {"m3", "m^3"}, .decimals = 5},
         {.name = "ft\u00B3",
          .also = {"ft3", "ft^3", "cu ft", "cuft"},
          .times = 28.316846592,
          .per = 1000,
          .decimals = 4},
         {.name = "in\u00B3", .also = {"in3", "in^3", "cu in", "cuin"}, .times = 16.387064, .per = 1e6}},
        4};
}

UnitSet areaUnits()
{
    return {"an area",
            {{.name = "cm\u00B2", .also = {"cm2", "cm^2", "sq cm"}, .per = 1e4},
             {.name = "mm\u00B2", .also = {"mm2", "mm^2"}, .per = 1e6},
             {.name = "m\u00B2", .also = {"m2", "m^2"}, .decimals = 5},
             {.name = "in\u00B2", .also = {"in2", "in^2", "sq in"}, .times = 6.4516, .per = 1e4, .decimals = 2},
             {.name = "ft\u00B2", .also = {"ft2", "ft^2", "sq ft"}, .times = 929.0304, .per = 1e4, .decimals = 4}},
            3};
}

UnitSet distanceUnits()
{
    return {"a distance",
            {{.name = "m", .also = {"metre", "metres", "meter", "meters"}},
             {.name = "cm", .per = 100},
             {.name = "mm", .per = 1000},
             {.name = "km", .times = 1000, .decimals = 3},
             {.name = "ft", .also = {"foot", "feet", "'", "\u2032"}, .times = 304.8, .per = 1000, .decimals = 2},
             {.name = "in", .also = {"inch", "inches", "\"", "\u2033"}, .times = 25.4, .per = 1000}},
            4};
}

UnitSet unitsOf(Dimension dimension)
{
    switch (dimension) {
    case Dimension::frequency:
        return {"a frequency", {{.name = "Hz"}, {.name = "kHz", .times = 1000, .decimals = 3}}};
    case Dimension::volume:
        return volumeUnits();
    case Dimension::area:
        return areaUnits();
    case Dimension::length:
        return lengthUnits("a length", true);
    case Dimension::bore:
        return lengthUnits("a bore", true);
    case Dimension::travel:
        return lengthUnits("a travel", false);
    case Dimension::mass:
        return {"a mass",
                {{.name = "g", .also = {"gram", "grams"}, .per = 1000},
                 {.name = "mg", .per = 1e6},
                 {.name = "kg", .decimals = 3},
                 {.name = "oz", .also = {"ounce", "ounces"}, .times = 28.349523125, .per = 1000, .decimals = 2},
                 {.name = "lb", .also = {"lbs"}, .times = 453.59237, .per = 1000, .decimals = 3}}};
    case Dimension::resistance:
        return {"a resistance",
                {{.name = "\u03A9", .also = {"\u2126", "ohm", "ohms"}},
                 {.name = "m\u03A9", .also = {"m\u2126", "mohm"}, .per = 1000},
                 {.name = "k\u03A9", .also = {"k\u2126", "kohm"}, .times = 1000, .decimals = 3}}};
    case Dimension::inductance:
        return {"an inductance",
                {{.name = "mH", .per = 1000, .decimals = 2},
                 {.name = "\u00B5H", .also = {"\u03BCh", "uh"}, .per = 1e6, .decimals = 0},
                 {.name = "H", .decimals = 5}}};
    case Dimension::capacitance:
        return {"a capacitance",
                {{.name = "\u00B5F", .also = {"\u03BCf", "uf"}, .per = 1e6},
                 {.name = "nF", .per = 1e9},
                 {.name = "mF", .per = 1000, .decimals = 3},
                 {.name = "F", .decimals = 6}}};
    case Dimension::forceFactor:
        return {"a force factor", {{.name = "N/A", .also = {"t m", "tm", "t\u00B7m", "t*m"}, .decimals = 2}}};
    case Dimension::compliance:
        return {"a compliance",
                {{.name = "mm/N", .per = 1000, .decimals = 3},
                 {.name = "\u00B5m/N", .also = {"\u03BCm/n", "um/n"}, .per = 1e6, .decimals = 0},
                 {.name = "m/N", .decimals = 6}}};
    case Dimension::mechanicalLoss:
        return {"a mechanical loss", {{.name = "kg/s", .also = {"n s/m", "ns/m", "n\u00B7s/m"}, .decimals = 2}}};
    case Dimension::quality:
        return {"a quality factor", {{.decimals = 2}}};
    case Dimension::ratio:
        return {"a ratio", {{.decimals = 2}}};
    case Dimension::voltage:
        return {"a voltage", {{.name = "V", .also = {"volt", "volts"}, .decimals = 2}, {.name = "mV", .per = 1000}}};
    case Dimension::power:
        return {"a power",
                {{.name = "W", .also = {"watt", "watts"}}, {.name = "mW", .per = 1000}, {.name = "kW", .times = 1000}}};
    case Dimension::level:
        return {"a level", {{.name = "dB"}}};
    case Dimension::airSpeed:
        return {"an air speed",
                {{.name = "m/s"},
                 {.name = "km/h", .also = {"kph"}, .times = 1000, .per = 3600},
                 {.name = "ft/s", .times = 304.8, .per = 1000},
                 {.name = "mph", .times = 0.44704}},
                2};
    case Dimension::distance:
        return distanceUnits();
    case Dimension::temperature:
        return {"a temperature",
                {{.name = "\u00B0C", .also = {"degc", "c"}},
                 {.name = "\u00B0F", .also = {"degf", "f"}, .times = 5, .per = 9, .zero = 32}},
                1};
    case Dimension::pressure:
        return {"a pressure",
                {{.name = "hPa", .also = {"mbar"}, .times = 100},
                 {.name = "Pa", .decimals = 0},
                 {.name = "kPa", .times = 1000, .decimals = 2},
                 {.name = "inHg", .times = 3386.389, .decimals = 2}},
                3};
    case Dimension::percent:
        return {"a percentage", {{.name = "%", .per = 100, .decimals = 0}}};
    case Dimension::count:
        return {"a number", {{.decimals = 0}}};
    case Dimension::angle:
        return {"an angle",
                {{.name = "\u00B0", .also = {"deg", "degree", "degrees"}, .times = std::numbers::pi, .per = 180},
                 {.name = "rad", .decimals = 3}}};
    case Dimension::current:
        return {"a current", {{.name = "A", .decimals = 2}, {.name = "mA", .per = 1000}}};
    }
    return {"a number", {{}}};
}

constexpr std::size_t dimensionCount = static_cast<std::size_t>(Dimension::current) + 1;

const UnitSet& unitSet(Dimension dimension)
{
    static const std::array<UnitSet, dimensionCount> sets = [] {
        std::array<UnitSet, dimensionCount> all;
        for (std::size_t i = 0; i < dimensionCount; ++i)
            all[i] = unitsOf(static_cast<Dimension>(i));
        return all;
    }();
    return sets[static_cast<std::size_t>(dimension)];
}

// --- Reading ---

std::string lowered(std::string_view text)  // ASCII letters only; a copy with other bytes as they are
{
    std::string lower(text);
    for (char& c : lower)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return lower;
}

void replaceAll(std::string& text, std::string_view from, std::string_view to)
{
    std::string result;
    std::size_t done = 0;
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, done)) {
        result.append(text, done, at - done).append(to);
        done = at + from.size();
    }
    text = result.append(text, done);
}

std::string_view trimmed(std::string_view text)
{
    constexpr std::string_view blanks = " \t\r\n";
    const std::size_t first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

// Typographic blanks and minus as plain ones, no blanks at the ends.
std::string plain(std::string_view text)
{
    std::string result(text);
    for (const char* blank : {"\u00A0", "\u2007", "\u2009", "\u202F"})
        replaceAll(result, blank, " ");
    for (const char* minus : {minusSign, "\u2013"})
        replaceAll(result, minus, "-");
    return std::string(trimmed(result));
}

bool isDigit(char c) { return c >= '0' && c <= '9'; }

// Where the number at the beginning ends: sign, digits and marks, exponent.
std::size_t numberLength(std::string_view text)
{
    std::size_t n = 0;
    if (n < text.size() && (text[n] == '-' || text[n] == '+')) ++n;
    while (n < text.size() && (isDigit(text[n]) || text[n] == '.' || text[n] == ','))
        ++n;
    std::size_t e = n;
    if (e < text.size() && (text[e] == 'e' || text[e] == 'E')) {
        ++e;
        if (e < text.size() && (text[e] == '-' || text[e] == '+')) ++e;
        if (e < text.size() && isDigit(text[e])) {
            while (e < text.size() && isDigit(text[e]))
                ++e;
            return e;
        }
    }
    return n;
}

const Unit* findUnit(const UnitSet& set, std::string_view typed)
{
    const std::string name = lowered(typed);
    for (const Unit& unit : set.units)
        if (lowered(unit.name) == name || std::find(unit.also.begin(), unit.also.end(), name) != unit.also.end())
            return &unit;
    return nullptr;
}

std::string unitList(const UnitSet& set)
{
    std::string list;
    for (std::size_t i = 0; i < set.units.size(); ++i)
        list += (i == 0 ? "" : i + 1 == set.units.size() ? " or " : ", ") + set.units[i].name;
    return list;
}

std::string quoted(std::string_view text)
{
    constexpr std::size_t longest = 30;
    if (text.size() <= longest) return fmt::format("\"{}\"", text);
    std::size_t end = longest;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80)
        --end;  // not inside a character
    return fmt::format("\"{}\u2026\"", text.substr(0, end));
}

Result<double> parseNumber(std::string_view digits, std::string_view whole)
{
    std::string text(digits);
    if (std::count_if(text.begin(), text.end(), [](char c) { return c == '.' || c == ','; }) > 1) {
        const std::size_t first = text.find_first_of(".,");
        const std::size_t second = text.find_first_of(".,", first + 1);
        std::string head = text.substr(0, second);
        head[first] = '.';
        std::string comma = head;
        comma[first] = ',';
        return fail("", fmt::format("{} has two decimal marks. Write {} or {}.", quoted(whole), head, comma));
    }
    std::replace(text.begin(), text.end(), ',', '.');
    if (!text.empty() && text.front() == '+') text.erase(0, 1);
    double value = 0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (problem == std::errc::result_out_of_range)
        return fail("", fmt::format("{} is beyond any number reckoned with here.", quoted(whole)));
    if (problem != std::errc() || end != text.data() + text.size() || !std::isfinite(value))
        return fail("", fmt::format("{} is not a number. Write it like 12.5 or 12,5.", quoted(whole)));
    return value;
}

// --- Showing ---

std::string fixedText(double value, int decimals)
{
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.find_first_not_of("-0.") == std::string::npos && text.front() == '-') text.erase(0, 1);  // no -0.0
    return text.front() == '-' ? minusSign + text.substr(1) : text;
}

// Decimals that make three significant digits; rounding may add a digit, so 9.996 counts as 10.0.
int threeDigits(double value)
{
    const double size = std::abs(value);
    if (size == 0) return 0;
    int decimals = 2 - static_cast<int>(std::floor(std::log10(size)));
    if (size * std::pow(10.0, decimals) >= 999.5) --decimals;
    return std::clamp(decimals, 0, 6);
}

std::string withoutTrailingZeros(std::string text, int keep)
{
    const std::size_t point = text.find('.');
    if (point == std::string::npos) return text;
    std::size_t size = text.size();
    while (size > point + 1 + static_cast<std::size_t>(keep) && text[size - 1] == '0')
        --size;
    if (size == point + 1) --size;
    return text.substr(0, size);
}

// Three digits, zeros at the end dropped: 1.60 -> 1.6, 14.0 -> 14.
std::string shortText(double value) { return withoutTrailingZeros(fixedText(value, threeDigits(value)), 0); }

std::string resistanceText(double value)
{
    const double size = std::abs(value);
    if (size < 0.1) return shortText(value);  // cables
    return size < 0.95 ? withoutTrailingZeros(fixedText(value, 2), 0) : fixedText(value, size < 99.95 ? 1 : 0);
}

std::string shownText(double value, Dimension dimension, UnitSystem system)
{
    switch (dimension) {
    case Dimension::frequency:
    case Dimension::quality:
    case Dimension::forceFactor:
    case Dimension::compliance:
    case Dimension::mechanicalLoss:
    case Dimension::mass:
        return fixedText(value, threeDigits(value));
    case Dimension::level:
    case Dimension::travel:
    case Dimension::airSpeed:
        return fixedText(value, 1);
    case Dimension::resistance:
        return resistanceText(value);
    case Dimension::volume:
        return withoutTrailingZeros(fixedText(value, threeDigits(value)), std::abs(value) < 9.995 ? 1 : 0);
    case Dimension::length:
    case Dimension::bore:
        return system == UnitSystem::us ? shortText(value) : withoutTrailingZeros(fixedText(value, 1), 0);
    case Dimension::power:
        return std::abs(value) < 9.95 ? shortText(value) : fixedText(value, 0);
    case Dimension::pressure:
        return fixedText(value, system == UnitSystem::us ? 2 : 0);
    case Dimension::temperature:
        return withoutTrailingZeros(fixedText(value, 1), 0);
    case Dimension::count:
        return fixedText(value, 0);
    case Dimension::area:
    case Dimension::inductance:
    case Dimension::capacitance:
    case Dimension::ratio:
    case Dimension::voltage:
    case Dimension::distance:
    case Dimension::percent:
    case Dimension::angle:
    case Dimension::current:
        return shortText(value);
    }
    return shortText(value);
}

// value * 10^digits without the error of a negative power.
double scaled(double value, int digits)
{
    return digits >= 0 ? value * std::pow(10.0, digits) : value / std::pow(10.0, -digits);
}

double roundedTowards(double value, int digits, double (*round)(double))
{
    if (value == 0 || !std::isfinite(value)) return value;
    const int places = digits - 1 - static_cast<int>(std::floor(std::log10(std::abs(value))));
    const double exact = scaled(value, places);
    const double nearest = std::round(exact);
    const bool already = std::abs(exact - nearest) <= 1e-9 * std::abs(nearest);  // 4.6 * 10 need not be 46
    return scaled(already ? nearest : round(exact), -places);
}

}  // namespace

double toSi(const Unit& unit, double shown) { return (shown - unit.zero) * unit.times / unit.per; }
double fromSi(const Unit& unit, double si) { return si * unit.per / unit.times + unit.zero; }

const std::vector<Unit>& knownUnits(Dimension dimension) { return unitSet(dimension).units; }

const Unit& shownUnit(Dimension dimension, UnitSystem system)
{
    const UnitSet& set = unitSet(dimension);
    return set.units[system == UnitSystem::us ? set.us : 0];
}

Result<double> parseQuantity(std::string_view text, Dimension dimension, UnitSystem system)
{
    const std::string typed = plain(text);
    if (typed.empty()) return fail("", "nothing is written here. Write a number like 12.5 or 12,5.");
    const std::size_t split = numberLength(typed);
    const std::string_view number = std::string_view(typed).substr(0, split);
    const std::string_view name = trimmed(std::string_view(typed).substr(split));
    if (number.find_first_of("0123456789") == std::string_view::npos ||
        (!name.empty() && (isDigit(name.front()) || name.front() == '.')))
        return fail("", fmt::format("{} is not a number. Write it like 12.5 or 12,5.", quoted(typed)));

    const UnitSet& set = unitSet(dimension);
    const Unit* unit = name.empty() ? &shownUnit(dimension, system) : findUnit(set, name);
    if (!unit && set.units.front().name.empty())
        return fail("", fmt::format("{} has no unit; write the number without {}.", set.what, quoted(name)));
    if (!unit)
        return fail("", fmt::format("{} is not a unit of {}. Write {}.", quoted(name),
                                    set.what.substr(set.what.find(' ') + 1), unitList(set)));
    return parseNumber(number, typed).and_then([unit, &typed](double value) -> Result<double> {
        const double si = toSi(*unit, value);
        if (!std::isfinite(si))
            return fail("", fmt::format("{} is beyond any number reckoned with here.", quoted(typed)));
        return si + 0.0;  // -0 becomes 0
    });
}

std::string fieldText(double si, Dimension dimension, UnitSystem system)
{
    constexpr int most = 6, digits = 5;
    if (!std::isfinite(si)) return unknownMark;
    const Unit& unit = shownUnit(dimension, system);
    const double shown = fromSi(unit, si);
    const bool typedSo = std::abs(std::round(shown * 1e6) / 1e6 - shown) <= 1e-12 * std::abs(shown);
    if (typedSo) return withoutTrailingZeros(fixedText(shown, most), unit.decimals);
    const int before = std::abs(shown) < 1 ? 1 : int(std::log10(std::abs(shown))) + 1;
    return withoutTrailingZeros(fixedText(shown, std::clamp(digits - before, unit.decimals, most)), unit.decimals);
}

std::string formatNumber(double si, Dimension dimension, UnitSystem system)
{
    if (!std::isfinite(si)) return unknownMark;
    return shownText(fromSi(shownUnit(dimension, system), si), dimension, system);
}

std::string formatQuantity(double si, Dimension dimension, UnitSystem system)
{
    if (!std::isfinite(si)) return unknownMark;
    const Unit& unit = shownUnit(dimension, system);
    if (dimension == Dimension::frequency && std::abs(si) >= 999.5)
        return fixedText(si / 1000, threeDigits(si / 1000)) + noBreakSpace + "kHz";
    if (dimension == Dimension::mass && std::abs(si) >= 0.9995)
        return fixedText(si, threeDigits(si)) + noBreakSpace + "kg";
    const std::string number = formatNumber(si, dimension, system);
    return unit.name.empty() ? number : number + noBreakSpace + unit.name;
}

double roundedDown(double value, int digits)
{
    return roundedTowards(value, digits, [](double v) { return std::floor(v); });
}
double roundedUp(double value, int digits)
{
    return roundedTowards(value, digits, [](double v) { return std::ceil(v); });
}

}  // namespace portwright
