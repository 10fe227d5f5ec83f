// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/summary.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

// A lossless vented housing of given Qt, alpha = Vas/Vb and h = fb/fs around the reference driver's moving parts.
Model alignment(double Qt, double alpha, double h, double leakQ = 0)
{
    Driver d = referenceDriver(0);
    d.Rms = 1e-7;
    d.Bl = std::sqrt(std::sqrt(d.Mms / d.Cms) * d.Re / Qt);
    const Air air = roundAir();
    Housing housing = closedHousing(Vas(d, air) / alpha);
    PortOpening p;
    p.classical = true;
    p.lossQ = 1e9;
    const double w = 2 * pi * h * fs(d);
    const double MS = air.c * air.c / (w * w * housing.cavity.netVolume);  // Leff/S
    p.diameter = 0.02;                                                     // thin enough for its ends to leave a length
    p.length = MS * areaOf(p) - (0.6133 + 0.8217) * radiusOf(p);
    REQUIRE(p.length > 0);
    housing.openings.push_back({p, {}, {}});
    if (leakQ > 0) housing.openings.push_back({LeakByQ{leakQ}, {}, {}});
    return modelFrom(air, completed(d), housing, Feed{}, Place{});
}

}  // namespace

TEST_CASE("lossless alignments have their exact half-power frequencies")
{
    // Filter theory (QB3, B4, C4, BE4 polynomials), solved in Python; tolerance 1e-4 as printed.
    const double rows[][4] = {
        {0.20, 8.2448, 1.8042, 2.3879}, {0.26, 4.4133, 1.4083, 1.7638}, {0.30, 3.0293, 1.2354, 1.4679},
        {0.36, 1.7499, 1.0527, 1.1142}, {0.382683, 1.414214, 1.0, 1.0}, {0.42, 1.0093, 0.9167, 0.8491},
        {0.50, 0.6036, 0.7769, 0.6659}, {0.60, 0.4334, 0.6872, 0.5677}, {0.3162278, 2.3333333, 0.9759001, 1.4959322}};
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        const Model m = alignment(r[0], r[1], r[2]);
        const auto s = summaryOf(m);
        CHECK(f3Of(m, tuningOf(m)) == s->f3);
        REQUIRE(s);
        CHECK(*s->f3 / fs(referenceDriver()) ==
              Approx(r[3]).epsilon(2e-4));  // the table's own inputs carry five digits
        CHECK(*s->fb / fs(referenceDriver()) == Approx(r[2]).epsilon(1e-9));
    }
}

TEST_CASE("Thiele's printed alignments give his half-power frequencies at the rounding of his table")
{
    // A. N. Thiele, Proc. IRE Australia 22 (1961) 487, table of alignments 1-9 (numbers from memory); 1 %.
    const double rows[][4] = {{.180, 10.48, 2.000, 2.68}, {.209, 7.48, 1.730, 2.28},   {.259, 4.46, 1.420, 1.77},
                              {.303, 2.95, 1.230, 1.45},  {.383, 1.414, 1.000, 1.000}, {.415, 1.055, .927, .867},
                              {.466, .729, .829, .729},   {.518, .559, .757, .641},    {.557, .485, .716, .600}};
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        CHECK(*summaryOf(alignment(r[0], r[1], r[2]))->f3 / fs(referenceDriver()) == Approx(r[3]).epsilon(0.01));
    }
}

TEST_CASE("alignments with a leak of Q 7 fall where filter theory says")  // Python, same filter shapes with QL; 1e-4
{
    const double rows[][4] = {{.25, 4.5822, 1.5629, 1.9667},
                              {.35, 1.7964, 1.1395, 1.2702},
                              {.42, .9113, .9662, .9373},
                              {.50, .4642, .8031, .7155},
                              {.331195, 1.907640, .973538, 1.494121}};
    for (const auto& r : rows) {
        CAPTURE(r[0]);
        CHECK(*summaryOf(alignment(r[0], r[1], r[2], 7))->f3 / fs(referenceDriver()) == Approx(r[3]).epsilon(3e-4));
    }
}

TEST_CASE("a vented housing shows two impedance peaks whose product is fs fb when nothing is lost")  // Thiele 1961,
                                                                                                     // Small 1973
{
    const auto s = summaryOf(alignment(0.4, 1.2, 0.95));
    REQUIRE(s);
    REQUIRE(s->impedancePeaks.size() == 2);
    CHECK(s->impedancePeaks[0].frequency * s->impedancePeaks[1].frequency ==
          Approx(fs(referenceDriver()) * *s->fb).epsilon(1e-5));
    CHECK(s->impedanceMinimum->impedance == Approx(3.6).epsilon(1e-4));
}

TEST_CASE("the half-power frequency knows nothing of coils, capacitors, filters and voltage")
{
    rc::prop("any housing, any feed", [] {
        const Driver d = arbitraryDriver();
        const Housing h = arbitraryHousing();
        Feed feed = arbitraryFeed();
        Feed bare;
        bare.voltage = 1;
        bare.sourceResistance = feed.sourceResistance;
        for (const SeriesPart& part : feed.seriesParts) {
            if (const auto* coil = std::get_if<SeriesCoil>(&part.part))
                bare.seriesParts.push_back({SeriesResistor{*coil->resistance}, {}});
            if (std::holds_alternative<SeriesResistor>(part.part)) bare.seriesParts.push_back(part);
        }
        Driver plain = d;
        plain.inductance = PlainInductance{};
        const auto a = summaryOf(modelFrom(roundAir(), completed(d), h, feed, Place{}));
        const auto b = summaryOf(modelFrom(roundAir(), completed(plain), h, bare, Place{}));
        RC_ASSERT(a && b);
        RC_ASSERT(a->f3.has_value() == b->f3.has_value());
        if (a->f3) RC_ASSERT(std::abs(*a->f3 / *b->f3 - 1) < 1e-8);  // the search narrows to 1e-10
    });
}

namespace {

// A vented housing of which nothing but the volume is known, its port flush.
Model plainVented(const DriverSheet& sheet, double volume, double bore, double length, double leak)
{
    const auto driver = complete(sheet);
    REQUIRE(driver);
    Housing h = closedHousing(volume);
    PortOpening p;
    p.diameter = bore, p.length = length, p.innerEnd = TubeEnd::flush;
    h.openings = {{LeakByQ{leak}, {}, {}}, {p, {}, {}}};
    return modelFrom(referenceAir(), *driver, h, Feed{}, Place{});
}

DriverSheet plainSheet()
{
    DriverSheet d;
    d.fs = 66.9, d.Qes = 0.43, d.Qms = 4.75, d.Vas = 7.19e-3, d.Re = 3.34, d.Sd = 138.9e-4;
    return d;
}

double overLimit(const Model& m, double frequency)
{
    const auto level = levelOverLimit(m, frequency);
    REQUIRE(level);
    return *level;
}

}  // namespace

TEST_CASE("the dip in front of the first standing wave is no end of the passband, and f3 is its lower edge")
{
    // The same equations written anew in Python: 108.2 Hz up and, from 966 Hz, down again before the wave at 1.1 kHz.
    const Model m = plainVented(plainSheet(), 3.79e-3, 0.055, 0.067, 7);
    const auto s = summaryOf(m);
    REQUIRE(s);
    REQUIRE(s->f3);
    CHECK(*s->f3 == Approx(108.2).margin(0.2));
    CHECK(f3Of(m, s->fb) == s->f3);
    CHECK(overLimit(m, *s->f3) == Approx(-10 * std::log10(2.0)).margin(1e-6));
    CHECK(overLimit(m, 940) > -3);
    CHECK(overLimit(m, 1000) < -3.1);
}

TEST_CASE("every plain vented housing has an f3, at which half the power is left and above which it stays")
{
    rc::prop("3 to 8 l", [] {
        DriverSheet d = plainSheet();
        d.fs = logUniform(50, 90), d.Qes = logUniform(0.3, 0.8), d.Vas = logUniform(5e-3, 25e-3);
        d.Sd = logUniform(90e-4, 210e-4);
        const double volume = logUniform(3e-3, 8e-3);
        const Model m = plainVented(d, volume, logUniform(0.03, 0.06), logUniform(0.03, 0.13), logUniform(5, 20));
        const auto s = summaryOf(m);
        RC_ASSERT(s && s->f3);
        RC_ASSERT(std::abs(levelOverLimit(m, *s->f3).value_or(0) + 10 * std::log10(2.0)) < 1e-5);
        const double clear = 0.6 * m.air.c / (2 * std::cbrt(volume));  // the wave's dip is further up
        for (double f = *s->f3 * 1.001; f < clear; f *= 1.03)
            RC_ASSERT(levelOverLimit(m, f).value_or(-99) > -10 * std::log10(2.0));
    });
}

TEST_CASE("the program's own tuning lies a little below the classical one, by the viscous layer")
{
    Housing h = closedHousing(5.2e-3);
    PortOpening p;
    p.diameter = 0.054, p.length = 0.13;
    h.openings.push_back({p, {}, {}});
    const double own = *summaryOf(modelOfReference(h))->fb;
    std::get<PortOpening>(h.openings[0].kind).classical = true;
    const double classical = *summaryOf(modelOfReference(h))->fb;
    CHECK(own < classical);
    CHECK(own > 0.99 * classical);
}

TEST_CASE("a port in the second cavity alone has a tuning, too")
{
    Housing h = closedHousing(4e-3);
    h.secondCavity = SecondCavity{};
    h.secondCavity->cavity.netVolume = 4e-3;
    h.secondCavity->hole = {0.2, 0.001, 1e6, {}};  // as good as no wall
    PortOpening p;
    p.diameter = 0.05, p.length = 0.12, p.classical = true, p.lossQ = 1e6;
    h.openings.push_back({p, CavityId::second, {}});
    const auto s = summaryOf(modelOfReference(h));
    REQUIRE(s);
    REQUIRE(s->fb);
    Housing one = closedHousing(8e-3);
    one.openings.push_back({p, {}, {}});
    CHECK(*s->fb == Approx(*summaryOf(modelOfReference(one))->fb).epsilon(0.02));
}

TEST_CASE("the tuning of a port in a large second cavity is found far below the little first one's resonance")
{
    Housing h = closedHousing(0.1e-3);
    h.secondCavity = SecondCavity{};
    h.secondCavity->cavity.netVolume = 5e-3;
    h.secondCavity->hole = {0.05, 0.003, 50.0, {}};
    PortOpening p;
    p.diameter = 0.054, p.length = 0.13, p.classical = true, p.lossQ = 80;
    h.openings.push_back({p, CavityId::second, {}});
    const auto fb = summaryOf(modelOfReference(h))->fb;
    REQUIRE(fb);
    CHECK(*fb > 80);
    CHECK(*fb < 95);
}

TEST_CASE("a 3 dB point above the scan of music is found, and never the end of a scan")
{
    Driver d = referenceDriver(0);
    d.Mms = 1e-3;
    d.Cms = 1 / (4 * pi * pi * 2000.0 * 2000.0 * d.Mms);
    d.Rms = 0.5, d.Bl = 5;
    Housing h = closedHousing(0.02e-3);
    h.driverCount = 8;
    const auto s = summaryOf(modelFrom(roundAir(), completed(d), h, Feed{}, Place{}));
    REQUIRE(s);
    if (s->f3) CHECK(*s->f3 == Approx(*s->fc).epsilon(0.5));
    REQUIRE(s->f3);
}
