// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/driver/plausibility.h"

#include <array>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

struct Range {
    double low, high;
};

// Usual drivers by size: fs Hz, Qts, Vas L, Sd cm2, one-way Xmax mm, Mms g, dB at 1 W.
struct DriverClass {
    const char* name;
    Range fs, Qts, Vas, Sd, Xmax, Mms, sensitivity;
};

constexpr std::array<DriverClass, 4> classes{{
    {"5.25 in", {75, 130}, {0.5, 0.9}, {3, 8}, {80, 95}, {2, 4}, {6, 12}, {86, 90}},
    {"6.5 in", {50, 160}, {0.3, 1.0}, {3, 18}, {125, 140}, {1, 7}, {8, 24}, {86, 96}},
    {"8 in", {45, 120}, {0.3, 0.8}, {8, 45}, {205, 220}, {2, 8}, {18, 45}, {88, 96}},
    {"6x9 in", {45, 90}, {0.45, 0.9}, {12, 40}, {220, 260}, {3, 6}, {18, 35}, {88, 93}},
}};

// The class whose piston area is nearest, if it is within a third.
const DriverClass* classOf(double Sd)
{
    const DriverClass* best = nullptr;
    double nearest = std::log(4.0 / 3);
    for (const DriverClass& c : classes) {
        const double distance = std::abs(std::log(Sd * 1e4 / std::sqrt(c.Sd.low * c.Sd.high)));
        if (distance < nearest) {
            nearest = distance;
            best = &c;
        }
    }
    return best;
}

// `value` and `usual` are in the key's unit, the metric one; the sentence speaks in `unit`.
void judge(std::vector<Finding>& findings, const DriverClass& c, const char* key, const char* name, double value,
           Range usual, Dimension dimension, UnitSystem units, const std::string& cause = {})
{
    const double slack = 1.25;  // the ranges are guesses; a quarter outside is not news
    if (value >= usual.low / slack && value <= usual.high * slack) return;
    const Unit &keyUnit = shownUnit(dimension, UnitSystem::metric), &unit = shownUnit(dimension, units);
    const auto shown = [&](double inKeyUnit) { return fromSi(unit, toSi(keyUnit, inKeyUnit)); };
    findings.push_back(
        {Finding::Size::warn, key,
         fmt::format(
             "{} {:.3g}{}{} is unusual for a {} driver, {:.3g} to {:.3g} is common (common practice, no source){}",
             name, shown(value), unit.name.empty() ? "" : "\u00A0", unit.name, c.name, shown(usual.low),
             shown(usual.high), cause.empty() ? "" : ": " + cause),
         value, 0});
}

}  // namespace

std::vector<Finding> plausibilityFindings(const DriverSheet& sheet, const CompleteDriver& d, UnitSystem units)
{
    std::vector<Finding> findings;
    if (d.Xmax && d.Xmech && *d.Xmax > *d.Xmech)
        findings.push_back(
            {Finding::Size::wrong, "xmax_mm",
             fmt::format(
                 "Xmax {:.3g}\u00A0mm is more than Xmech {:.3g}\u00A0mm: one of them may count both ways; half of Xmax "
                 "is {:.3g}\u00A0mm",
                 *d.Xmax * 1e3, *d.Xmech * 1e3, *d.Xmax * 500),
             *d.Xmax * 1e3, *d.Xmech * 1e3});
    const DriverClass* c = classOf(d.driver.Sd);
    if (!c) return findings;
    judge(findings, *c, "fs_hz", "fs", d.fs, c->fs, Dimension::frequency, units);
    judge(findings, *c, "qts", "Qts", d.Qts, c->Qts, Dimension::quality, units);
    const double litres = d.Vas * 1e3;
    const bool cubicFeet = sheet.Vas && litres * 28.3168 > c->Vas.low / 1.25 && litres * 28.3168 < c->Vas.high * 1.25;
    judge(findings, *c, "vas_l", "Vas", litres, c->Vas, Dimension::volume, units,
          cubicFeet ? "in cubic feet it would be " + formatQuantity(d.Vas * 28.3168, Dimension::volume, units) : "");
    judge(findings, *c, "mms_g", "Mms", d.driver.Mms * 1e3, c->Mms, Dimension::mass, units);
    judge(findings, *c, "sensitivity_db", "sensitivity at 1\u00A0W",
          sensitivity(d.driver, std::sqrt(d.driver.Re), referenceAir()), c->sensitivity, Dimension::level, units);
    if (d.Xmax)
        judge(findings, *c, "xmax_mm", "Xmax", *d.Xmax * 1e3, c->Xmax, Dimension::travel, units,
              *d.Xmax * 1e3 > c->Xmax.high
                  ? fmt::format("it may count both ways; half is {:.3g}\u00A0mm", *d.Xmax * 500)
                  : "");
    if (d.nominalImpedance && (d.driver.Re > *d.nominalImpedance || d.driver.Re < 0.6 * *d.nominalImpedance))
        findings.push_back({Finding::Size::warn, "re_ohm",
                            fmt::format("Re {:.3g}\u00A0\u03A9 does not fit a nominal {:.3g}\u00A0\u03A9, 0.75 to 0.95 "
                                        "of it is common (common practice, "
                                        "no source)",
                                        d.driver.Re, *d.nominalImpedance),
                            d.driver.Re, 0});
    return findings;
}

}  // namespace portwright
