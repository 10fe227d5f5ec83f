// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/driver/plausibility.h"
#include "core/driver/sheet.h"

#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

using Maybe = std::optional<double>;

double square(double x) { return x * x; }

// What is known so far. Each rule fills what its inputs allow; the rules run until nothing changes.
struct Known {
    Maybe fs, Qes, Qms, Mms, Cms;
};

void closeQ(const DriverSheet& s, Known& k)
{
    if (!k.Qes && k.Qms && s.Qts && *s.Qts < *k.Qms) k.Qes = *s.Qts * *k.Qms / (*k.Qms - *s.Qts);
    if (!k.Qms && k.Qes && s.Qts && *s.Qts < *k.Qes) k.Qms = *s.Qts * *k.Qes / (*k.Qes - *s.Qts);
}

// Bl/Mms from a level: p = rho Bl Sd E/(2 pi Re Mms) at 1 m in half space.
Result<double> forceOverMass(const DriverSheet& s)
{
    if (!s.sensitivityAt)
        return fail("sensitivity_at", "sensitivity_at is missing: is " + fmt::format("{:g}", *s.sensitivity) +
                                          " dB at 1 W (\"1w\") or at 2.83 V (\"2.83v\")?");
    if (*s.sensitivityAt == SensitivityAt::oneWatt && !s.nominalImpedance)
        return fail("nominal_ohm", "nominal_ohm is missing: a sensitivity at 1 W means 1 W in the nominal impedance");
    const double E = *s.sensitivityAt == SensitivityAt::oneWatt ? std::sqrt(*s.nominalImpedance) : 2.83;
    return std::pow(10, *s.sensitivity / 20) * referencePressure * 2 * pi * *s.Re / (referenceAir().rho * *s.Sd * E);
}

// Compliance or mass from the first present of Vas, Cms, Mms, Bl, sensitivity.
Result<void> findMass(const DriverSheet& s, Known& k)
{
    if (k.Mms || !k.fs) return {};
    const double w = 2 * pi * *k.fs;
    const auto massOf = [w](double Cms) { return 1 / (w * w * Cms); };
    if (s.Vas)
        k.Mms = massOf(*s.Vas / (referenceAir().rho * square(referenceAir().c) * square(*s.Sd)));
    else if (s.Cms)
        k.Mms = massOf(*s.Cms);
    else if (s.Mms)
        k.Mms = s.Mms;
    else if (s.Bl && k.Qes)
        k.Mms = square(*s.Bl) * *k.Qes / (w * *s.Re);
    else if (!s.Bl && s.sensitivity && k.Qes) {
        const auto ratio = forceOverMass(s);
        if (!ratio) return fail(ratio.error());
        k.Mms = w * *s.Re / (*k.Qes * square(*ratio));
    }
    return {};
}

Result<Known> settle(const DriverSheet& s)
{
    Known k{s.fs, s.Qes, s.Qms, {}, {}};
    if (!k.fs && s.Mms && s.Cms) k.fs = 1 / (2 * pi * std::sqrt(*s.Mms * *s.Cms));
    if (!k.fs && s.Mms && s.Vas)
        k.fs =
            1 / (2 * pi * std::sqrt(*s.Mms * *s.Vas / (referenceAir().rho * square(referenceAir().c) * square(*s.Sd))));
    for (int pass = 0; pass < 3; ++pass) {  // each pass can open the way for the next; three close every chain
        closeQ(s, k);
        if (auto found = findMass(s, k); !found) return fail(found.error());
        if (!k.Mms) continue;
        const double w = 2 * pi * *k.fs;
        if (!k.Qms && s.Rms) k.Qms = w * *k.Mms / *s.Rms;
        closeQ(s, k);
        if (!k.Qes && s.Bl) k.Qes = w * *k.Mms * *s.Re / square(*s.Bl);
    }
    return k;
}

Result<void> checkSettled(const DriverSheet& s, const Known& k)
{
    if (!k.fs) return fail("fs_hz", "fs_hz is missing: give fs, or Mms with Cms or Vas");
    if (s.Qts && !s.Qes && s.Qms && *s.Qts >= *s.Qms)
        return fail("qts", fmt::format("qts is {:g}, but it must be below qms, {:g}", *s.Qts, *s.Qms));
    if (s.Qts && !s.Qms && s.Qes && *s.Qts >= *s.Qes)
        return fail("qts", fmt::format("qts is {:g}, but it must be below qes, {:g}", *s.Qts, *s.Qes));
    if (!k.Qes) return fail("qes", "qes is missing: give two of qes, qms, qts, or bl_t_m with a mass");
    if (!k.Qms) return fail("qms", "qms is missing: give two of qes, qms, qts, or rms_kg_s");
    if (!k.Mms) return fail("vas_l", "vas_l is missing: give one of vas_l, cms_mm_n, mms_g, bl_t_m, sensitivity_db");
    return {};
}

// --- Cross-checks ---

struct Comparison {
    const char* key;
    const char* name;
    Maybe given;      // SI
    double reckoned;  // SI
    Dimension dimension;
};

std::string likelyCause(const Comparison& c, double ratio, const DriverSheet& s)
{
    const auto about = [ratio](double r) { return std::abs(ratio / r - 1) < 0.12; };
    const std::string key = c.key;
    if (key == "qts") return "check which of the three Q was mistyped";
    if (about(1 / 28.3168) && s.Vas) return "Vas looks like cubic feet";
    if (about(28.3168) && s.Vas) return "Vas looks like cubic feet";
    if (about(1000) || about(0.001)) return "a factor of 1000 looks like a slip of the unit";
    // Cms goes with 1/Sd^2 at a given Vas, and a frame is some 1.27 times as wide as the piston: 1.27^4 = 2.6.
    const double frame = key == "cms_mm_n" ? ratio : 1 / ratio;
    if ((key == "mms_g" || key == "cms_mm_n") && s.Vas && frame > 2.1 && frame < 3.2)
        return "Sd may be taken from the frame size instead of the piston";
    if (key == "bl_t_m") return "check Bl, Qes and Re";
    if (key == "rms_kg_s") return "check Rms and Qms";
    return "one of the values was measured on another sample, or mistyped";
}

// The sentence speaks in the unit system; Finding::given and reckoned keep the key's unit, which is the metric one.
void compare(std::vector<Finding>& findings, const Comparison& c, const DriverSheet& s, UnitSystem units)
{
    if (!c.given) return;
    const double ratio = *c.given / c.reckoned;
    const double off = std::abs(ratio - 1);
    if (off <= 0.05) return;
    const auto size = off > 0.20 ? Finding::Size::wrong : off > 0.10 ? Finding::Size::warn : Finding::Size::note;
    const Unit& unit = shownUnit(c.dimension, units);
    const double given = fromSi(unit, *c.given), reckoned = fromSi(unit, c.reckoned);
    const char* space = unit.name.empty() ? "" : "\u00A0";
    const Unit& keyUnit = shownUnit(c.dimension, UnitSystem::metric);
    findings.push_back(
        {size, c.key,
         fmt::format("{} {:.3g}{}{} on the sheet, {:.3g}{}{} from its other values, {:.0f}\u00A0% apart; {:.3g} is "
                     "reckoned with. Likely cause: {}",
                     c.name, given, space, unit.name, reckoned, space, unit.name, off * 100, reckoned,
                     likelyCause(c, ratio, s)),
         fromSi(keyUnit, *c.given), fromSi(keyUnit, c.reckoned)});
}

// A level is compared as the pressure it stands for, and told in dB.
void compareSensitivity(std::vector<Finding>& findings, const DriverSheet& s, const Driver& d)
{
    if (!s.sensitivity || !s.sensitivityAt) return;
    if (*s.sensitivityAt == SensitivityAt::oneWatt && !s.nominalImpedance) return;
    const double E = *s.sensitivityAt == SensitivityAt::oneWatt ? std::sqrt(*s.nominalImpedance) : 2.83;
    const double reckoned = sensitivity(d, E, referenceAir());
    const double off = std::abs(*s.sensitivity - reckoned);
    if (off <= 0.5) return;
    const auto size = off > 3 ? Finding::Size::wrong : off > 1.5 ? Finding::Size::warn : Finding::Size::note;
    // The same driver reads 10 lg(8/nominal) dB higher at 2.83 V than at 1 W.
    const double other = s.nominalImpedance ? 10 * std::log10(2.83 * 2.83 / *s.nominalImpedance) : 0;
    const double expected = *s.sensitivityAt == SensitivityAt::oneWatt ? other : -other;
    const std::string cause = std::abs(expected) > 1 && std::abs(*s.sensitivity - reckoned - expected) < 0.8
                                  ? "one is meant at 1\u00A0W and the other at 2.83\u00A0V"
                                  : "sheets often quote a level read higher up, on a rising response";
    findings.push_back({size, "sensitivity_db",
                        fmt::format("sensitivity {:.1f}\u00A0dB on the sheet, {:.1f}\u00A0dB from its other values, "
                                    "{:.1f}\u00A0dB apart; {:.1f} is "
                                    "reckoned with. Likely cause: {}",
                                    *s.sensitivity, reckoned, off, reckoned, cause),
                        *s.sensitivity, reckoned});
}

std::vector<Finding> crossChecks(const DriverSheet& s, const CompleteDriver& c, UnitSystem units)
{
    const Driver& d = c.driver;
    std::vector<Finding> findings;
    compare(findings, {"qts", "Qts", s.Qts, c.Qts, Dimension::quality}, s, units);
    compare(findings, {"vas_l", "Vas", s.Vas, c.Vas, Dimension::volume}, s, units);
    compare(findings, {"cms_mm_n", "Cms", s.Cms, d.Cms, Dimension::compliance}, s, units);
    compare(findings, {"mms_g", "Mms", s.Mms, d.Mms, Dimension::mass}, s, units);
    compare(findings, {"bl_t_m", "Bl", s.Bl, d.Bl, Dimension::forceFactor}, s, units);
    compare(findings, {"rms_kg_s", "Rms", s.Rms, d.Rms, Dimension::mechanicalLoss}, s, units);
    compareSensitivity(findings, s, d);
    // Only the compliance changed (break-in, heat): fs^2 Vas keeps, and so does Mms; say so before calling data wrong.
    if (s.Cms && s.Mms && std::abs(*s.Mms / d.Mms - 1) > 0.05) {
        const double own = 1 / (2 * pi * std::sqrt(*s.Cms * *s.Mms));
        if (std::abs(own / c.fs - 1) > 0.05)
            findings.push_back(
                {Finding::Size::note, "fs_hz",
                 fmt::format(
                     "fs {:.3g}\u00A0Hz on the sheet, {:.3g}\u00A0Hz from its Mms and Cms: a run-in or warm suspension "
                     "moves fs and Vas together (fs\u00B2\u00B7Vas keeps)",
                     c.fs, own),
                 c.fs, own});
    }
    return findings;
}

Result<void> checkGiven(const DriverSheet& s)
{
    if (!s.Re) return fail("re_ohm", "re_ohm is missing: the coil's resistance, off the sheet or by ohmmeter");
    if (!s.Sd) return fail("sd_cm2", "sd_cm2 is missing: the piston area, to the middle of the surround");
    const std::pair<const char*, Maybe> values[] = {
        {"re_ohm", s.Re}, {"sd_cm2", s.Sd},    {"fs_hz", s.fs},  {"qes", s.Qes},   {"qms", s.Qms},     {"qts", s.Qts},
        {"vas_l", s.Vas}, {"cms_mm_n", s.Cms}, {"mms_g", s.Mms}, {"bl_t_m", s.Bl}, {"rms_kg_s", s.Rms}};
    for (const auto& [key, value] : values)
        if (value && !(*value > 0 && std::isfinite(*value)))
            return fail(key, fmt::format("{} is {:g}; it must be above 0", key, *value));
    return {};
}

}  // namespace

Result<CompleteDriver> complete(const DriverSheet& sheet)
{
    if (auto given = checkGiven(sheet); !given) return fail(given.error());
    const auto known = settle(sheet);
    if (!known) return fail(known.error());
    if (auto settled = checkSettled(sheet, *known); !settled) return fail(settled.error());

    CompleteDriver c;
    const double w = 2 * pi * *known->fs;
    Driver& d = c.driver;
    d.Re = *sheet.Re;
    d.Sd = *sheet.Sd;
    d.Mms = *known->Mms;
    d.Cms = 1 / (w * w * d.Mms);
    d.Rms = w * d.Mms / *known->Qms;
    d.Bl = std::sqrt(w * d.Mms * d.Re / *known->Qes);
    d.inductance = sheet.inductance.value_or(PlainInductance{sheet.Le.value_or(0)});
    c.fs = *known->fs;
    c.Qes = *known->Qes;
    c.Qms = *known->Qms;
    c.Qts = c.Qes * c.Qms / (c.Qes + c.Qms);
    c.Vas = Vas(d, referenceAir());
    c.Xmax = sheet.Xmax;
    c.Xmech = sheet.Xmech;
    c.power = sheet.power;
    c.nominalImpedance = sheet.nominalImpedance;
    c.displacement = sheet.displacement;
    for (double value : {d.Mms, d.Cms, d.Rms, d.Bl, c.Vas})
        if (!(value > 0 && std::isfinite(value)))
            return fail("fs_hz", "these values make no physical driver: its mass, compliance or force factor comes out "
                                 "as 0 or infinite");
    c.findings = findingsOf(sheet, c);
    return c;
}

std::vector<Finding> findingsOf(const DriverSheet& sheet, const CompleteDriver& driver, UnitSystem units)
{
    std::vector<Finding> findings = crossChecks(sheet, driver, units);
    for (Finding& finding : plausibilityFindings(sheet, driver, units))
        findings.push_back(std::move(finding));
    return findings;
}

}  // namespace portwright
