// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/driver/sheet.h"

#include "../support/random_project.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

DriverSheet allOf(const Driver& d)
{
    DriverSheet s;
    s.id = "d";
    s.fs = fs(d), s.Qes = Qes(d), s.Qms = Qms(d), s.Qts = Qts(d), s.Vas = Vas(d, referenceAir());
    s.Cms = d.Cms, s.Mms = d.Mms, s.Bl = d.Bl, s.Rms = d.Rms, s.Re = d.Re, s.Sd = d.Sd;
    s.nominalImpedance = 4;
    s.sensitivity = sensitivity(d, 2, referenceAir());  // 1 W in 4 ohm
    s.sensitivityAt = SensitivityAt::oneWatt;
    s.inductance = d.inductance;
    return s;
}

bool same(const Driver& a, const Driver& b)
{
    const auto close = [](double x, double y) {
        return std::abs(x / y - 1) < 1e-9;
    };  // a few roots and products of doubles
    return close(a.Re, b.Re) && close(a.Bl, b.Bl) && close(a.Mms, b.Mms) && close(a.Cms, b.Cms) &&
           close(a.Rms, b.Rms) && close(a.Sd, b.Sd);
}

void keepOnly(DriverSheet& s, const std::string& kept)
{
    const auto drop = [&](const char* name, std::optional<double>& value) {
        if ((" " + kept + " ").find(std::string(" ") + name + " ") == std::string::npos) value.reset();
    };
    drop("fs", s.fs), drop("Qes", s.Qes), drop("Qms", s.Qms), drop("Qts", s.Qts), drop("Vas", s.Vas),
        drop("Cms", s.Cms);
    drop("Mms", s.Mms), drop("Bl", s.Bl), drop("Rms", s.Rms), drop("spl", s.sensitivity);
}

bool tells(const CompleteDriver& c, const std::string& key, const std::string& words)
{
    return std::any_of(c.findings.begin(), c.findings.end(),
                       [&](const Finding& f) { return f.key == key && f.text.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("any sufficient set of parameters completes the same driver")
{
    const char* const sufficient[] = {"fs Qes Qms Vas",  "Bl Mms Cms Rms",  "fs Qes Qms Mms", "fs Qes Qms Cms",
                                      "fs Qes Qms Bl",   "fs Qes Qms spl",  "fs Qts Qms Vas", "fs Qts Qes Vas",
                                      "fs Qts Qms Mms",  "fs Qts Qes Cms",  "fs Qts Qes spl", "fs Qms Bl Mms",
                                      "fs Rms Bl Mms",   "fs Qts Rms Mms",  "fs Rms Qes Vas", "fs Qms Bl Vas",
                                      "fs Qts Qms Bl",   "fs Qts Qms spl",  "fs Rms Qes Bl",  "Mms Cms Qes Qms",
                                      "Mms Vas Qts Qes", "Mms Cms Rms Qts", "fs Cms Bl Rms",  "fs Vas Bl Qts Qms"};
    rc::prop("any driver", [&] {
        const Driver d = arbitraryDriver();
        for (const char* set : sufficient) {
            DriverSheet s = allOf(d);
            keepOnly(s, set);
            const auto c = complete(s);
            if (!c) RC_FAIL(std::string(set) + ": " + c.error().message);
            if (!same(c->driver, d)) RC_FAIL(std::string("not the same driver from ") + set);
            for (const Finding& f : c->findings)  // nothing contradicts; only the usual ranges may be left
                if (f.reckoned != 0 && f.key != "xmax_mm") RC_FAIL(f.text);
        }
    });
}

TEST_CASE("an insufficient set is refused with the value that is missing")
{
    const std::pair<const char*, const char*> cases[] = {{"Qes Qms Vas", "fs_hz"},
                                                         {"fs Qms Vas", "qes"},
                                                         {"fs Qes Vas", "qms"},
                                                         {"fs Qts Vas", "qes"},
                                                         {"fs Qes Qms", "vas_l"}};
    for (const auto& [set, missing] : cases) {
        CAPTURE(set);
        DriverSheet s = allOf(referenceDriver());
        keepOnly(s, set);
        REQUIRE_FALSE(complete(s));
        CHECK(complete(s).error().field == missing);
    }
    DriverSheet noRe = allOf(referenceDriver());
    noRe.Re.reset();
    CHECK(complete(noRe).error().field == "re_ohm");
}

TEST_CASE("a sensitivity without its meaning is asked for, never guessed")
{
    DriverSheet s = allOf(referenceDriver());
    keepOnly(s, "fs Qes Qms spl");
    s.sensitivityAt.reset();
    REQUIRE_FALSE(complete(s));
    CHECK(complete(s).error().field == "sensitivity_at");
    s.sensitivityAt = SensitivityAt::oneWatt;
    s.nominalImpedance.reset();
    CHECK(complete(s).error().field == "nominal_ohm");
}

TEST_CASE("surplus values are cross-checked, with both numbers, the size and a likely cause")
{
    DriverSheet s = allOf(referenceDriver());
    s.Qts = 0.47;
    auto c = complete(s);
    REQUIRE(c);
    CHECK(tells(*c, "qts", "0.47"));
    CHECK(tells(*c, "qts", "0.41"));
    CHECK(tells(*c, "qts", "mistyped"));
    CHECK(c->Qts == Approx(0.41037488));  // Qes and Qms win

    s = allOf(referenceDriver());
    s.Vas = *s.Vas / 28.3168;  // cubic feet written as litres
    c = complete(s);
    REQUIRE(c);
    CHECK(tells(*c, "mms_g", "cubic feet"));

    s = allOf(referenceDriver());
    s.sensitivity = *s.sensitivity + 3.3;
    c = complete(s);
    REQUIRE(c);
    CHECK(tells(*c, "sensitivity_db", "2.83"));
}

TEST_CASE("a driver out of the usual range is warned about, and two-way travel is suspected")
{
    DriverSheet s = allOf(referenceDriver());
    s.Xmax = 11e-3;
    s.Xmech = 8e-3;
    const auto c = complete(s);
    REQUIRE(c);
    CHECK(tells(*c, "xmax_mm", "both ways"));
    s.Xmax = 4e-3;
    CHECK_FALSE(tells(*complete(s), "xmax_mm", "both ways"));
}

TEST_CASE("values that make no driver are refused")
{
    for (double bad : {0.0, -1.0, std::numeric_limits<double>::infinity(), std::numeric_limits<double>::quiet_NaN()}) {
        DriverSheet s = allOf(referenceDriver());
        s.Bl = bad;
        CHECK_FALSE(complete(s));
    }
    DriverSheet s = allOf(referenceDriver());
    keepOnly(s, "fs Qts Qms Vas");
    s.Qts = *s.Qms + 1;
    CHECK(complete(s).error().field == "qts");
}

TEST_CASE("a mass that fits another area hints at Sd taken from the frame size")
{
    DriverSheet s = allOf(referenceDriver());
    *s.Sd *= 1.27 * 1.27;  // a frame is some 1.27 times as wide as its piston (common practice, no source)
    const auto c = complete(s);
    REQUIRE(c);
    CHECK(tells(*c, "mms_g", "frame size"));
    CHECK(tells(*c, "cms_mm_n", "frame size"));
    *s.Sd /= 1.27 * 1.27;
    CHECK_FALSE(tells(*complete(s), "mms_g", "frame size"));
}

TEST_CASE("findings speak of volumes in the unit system asked for, and judge the same")
{
    DriverSheet s = allOf(referenceDriver());
    keepOnly(s, "fs Qes Qms Vas");
    s.Vas = *s.Vas / 28.3168;
    const auto c = complete(s);
    REQUIRE(c);
    const auto metric = findingsOf(s, *c), us = findingsOf(s, *c, UnitSystem::us);
    CHECK(metric == c->findings);
    REQUIRE(us.size() == metric.size());
    bool told = false;
    for (std::size_t i = 0; i < us.size(); ++i) {
        CHECK(us[i].key == metric[i].key);
        CHECK(us[i].given == metric[i].given);
        if (us[i].key != "vas_l") continue;
        told = true;
        CHECK(us[i].text.find("\u00A0ft\u00B3 is unusual") != std::string::npos);
    }
    CHECK(told);
}
