// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/alignment_place.h"

#include "core/response/summary.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <limits>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

constexpr double lossless = std::numeric_limits<double>::infinity();

struct Row {
    double Qt, alpha, h, f3, ripple;
};

void checkRows(const std::vector<Row>& rows, double QL, Alignment family, double tolerance)
{
    for (const Row& row : rows) {
        CAPTURE(row.Qt, QL);
        const auto box = alignedBox(row.Qt, QL);
        REQUIRE(box);
        CHECK(box->alignment == family);
        CHECK(box->box.alpha == Approx(row.alpha).epsilon(tolerance));
        CHECK(box->box.h == Approx(row.h).epsilon(tolerance));
        CHECK(box->figures.f3 == Approx(row.f3).epsilon(tolerance));
        CHECK(box->figures.ripple == Approx(row.ripple).margin(6e-4));
    }
}

}  // namespace

// Filter theory solved in Python (QB3: |G|^2 with A1 = A2 = 0; C4: poles of the Chebyshev filter), four decimals.
TEST_CASE("the lossless alignments are as tabulated")
{
    checkRows({{0.18, 10.4449, 1.9968, 2.6792, 0},
               {0.24, 5.3778, 1.5175, 1.9411, 0},
               {0.30, 3.0293, 1.2354, 1.4679, 0},
               {0.38, 1.4509, 1.0059, 1.0129, 0}},
              lossless, Alignment::QB3, 1e-4);
    checkRows({{0.40, 1.2024, 0.9615, 0.9234, 0.000},
               {0.44, 0.8626, 0.8748, 0.7883, 0.021},
               {0.50, 0.6036, 0.7769, 0.6659, 0.190},
               {0.60, 0.4334, 0.6872, 0.5677, 0.814}},
              lossless, Alignment::C4, 1e-4);
    const auto b4 = alignedBox(0.3826834323650898, lossless);  // sin 22.5 deg
    REQUIRE(b4);
    CHECK(b4->alignment == Alignment::B4);
    CHECK(b4->box.alpha == Approx(std::sqrt(2.0)).epsilon(1e-6));
    CHECK(b4->box.h == Approx(1).epsilon(1e-6));
    CHECK(b4->figures.f3 == Approx(1).epsilon(1e-6));
}

TEST_CASE("the alignments with a leak are as tabulated")
{
    checkRows({{0.20, 7.7775, 1.9393, 2.5289, 0}, {0.30, 2.8452, 1.3145, 1.5732, 0}, {0.38, 1.3552, 1.0578, 1.1153, 0}},
              7, Alignment::QB3, 1e-4);
    checkRows({{0.25, 4.6706, 1.5301, 1.9299, 0}, {0.35, 1.8342, 1.1197, 1.2390, 0}}, 10, Alignment::QB3, 1e-4);
    for (const auto& [Qt, alpha, h, f3] : {std::array{0.45, 0.6868, 0.8992, 0.8348}, {0.60, 0.2749, 0.6805, 0.5884}}) {
        const auto box = alignedBox(Qt, 7);
        REQUIRE(box);
        CHECK(box->alignment == Alignment::C4);
        CHECK(box->box.alpha == Approx(alpha).margin(6e-5));  // four decimals
        CHECK(box->box.h == Approx(h).epsilon(1e-4));
        CHECK(box->figures.f3 == Approx(f3).epsilon(1e-4));
    }
    // B4 with QL 7 as hobby tables print it: Qt 0.4048, Vas/Vb 1.0613, h 1
    const auto b4 = alignedBox(0.404814, 7);
    REQUIRE(b4);
    CHECK(b4->box.alpha == Approx(1.061318).epsilon(2e-5));
    CHECK(b4->box.h == Approx(1).epsilon(2e-5));
}

TEST_CASE("Thiele's printed alignments are the exact families at the rounding of his table")
{
    // A. N. Thiele, Proc. IRE Australia 22 (1961) 487, alignments 1 to 9: Qt, Vas/Vb, fb/fs, f3/fs (from memory); 1 %.
    const double table[][4] = {{.180, 10.48, 2.000, 2.68}, {.209, 7.48, 1.730, 2.28}, {.259, 4.46, 1.420, 1.77},
                               {.303, 2.95, 1.230, 1.45},  {.415, 1.055, .927, .867}, {.466, .729, .829, .729},
                               {.518, .559, .757, .641},   {.557, .485, .716, .600}};
    for (const auto& row : table) {
        const auto box = alignedBox(row[0], lossless);
        REQUIRE(box);
        CAPTURE(row[0]);
        CHECK(box->box.alpha == Approx(row[1]).epsilon(0.01));
        CHECK(box->box.h == Approx(row[2]).epsilon(0.01));
        CHECK(box->figures.f3 == Approx(row[3]).epsilon(0.01));
    }
}

TEST_CASE("f3 of any vented box is that of the network")
{
    // The network: lumped cavity, leak by q, classical port of no loss to speak of; no inductance.
    rc::prop("any volume, tuning and leak", [] {
        const Driver d = referenceDriver(0);
        const double Vb = logUniform(3, 60) * 1e-3, QL = logUniform(3, 50), fb = logUniform(30, 100);
        Housing housing = closedHousing(Vb);
        housing.openings.push_back({LeakByQ{QL}, {}, {}});
        PortOpening port;
        port.diameter = 0.05, port.classical = true, port.lossQ = 1e6;
        const Air air = roundAir();
        const double w = 2 * pi * fb, Cab = Vb / (air.rho * air.c * air.c);
        port.length = areaOf(port) / (air.rho * w * w * Cab) - (0.6133 + 0.8217) * radiusOf(port);
        RC_PRE(port.length > 0 && port.length < 3);
        housing.openings.push_back({port, {}, {}});
        const Model m = modelOfReference(housing, 1, 0);
        const auto summary = summaryOf(m);
        RC_ASSERT(summary.has_value());
        const VentedFigures f = figuresOf({Qts(d), Cas(d) / Cab, fb / fs(d), QL});
        RC_ASSERT(summary->f3.has_value());
        RC_ASSERT(std::abs(*summary->f3 / (f.f3 * fs(d)) - 1) < 1e-4);
        const double hump = summary->hump ? summary->hump->height : 0;
        RC_ASSERT(std::abs(hump - f.ripple) < 2e-3);
    });
}

TEST_CASE("a driver in the volume its alignment wants loses nothing, in a smaller one f3")
{
    const Driver d = referenceDriver(0);
    const auto aligned = alignedBox(Qts(d), 7);
    REQUIRE(aligned);
    const Air air = roundAir();
    const double Vas = Cas(d) * air.rho * air.c * air.c;
    const auto at = [&](double volume) {
        Housing housing = closedHousing(volume);
        housing.openings.push_back({LeakByQ{7}, {}, {}});
        return alignmentPlace(modelOfReference(housing, 1, 0));
    };
    const AlignmentPlace wanted = at(Vas / aligned->box.alpha), small = at(Vas / aligned->box.alpha / 3);
    CHECK(wanted.wantedVolume == Approx(wanted.volume).epsilon(1e-6));
    CHECK(wanted.best.f3 <= wanted.aligned.f3 * 1.01);
    CHECK(small.best.f3 > 1.1 * wanted.aligned.f3);
    CHECK_FALSE(wanted.bestSealed);
    CHECK(small.wantedVolume == Approx(wanted.volume).epsilon(1e-6));
    CHECK_FALSE(small.assumedLeak);
    CHECK(alignmentWords(small).size() == 2);
}

TEST_CASE("a series resistance raises Qt, and no leak stated means the published default")
{
    Model m = modelOfReference(closedHousing(5e-3), 1, 0);
    const AlignmentPlace plain = alignmentPlace(m);
    CHECK(plain.assumedLeak);
    CHECK(plain.QL == 7);
    CHECK(plain.Qt == Approx(Qts(referenceDriver())));
    CHECK_FALSE(plain.now);
    m.sourceResistance = referenceDriver().Re;  // as much again: Qes doubles
    const double Qe = 2 * Qes(referenceDriver()), Qm = Qms(referenceDriver());
    CHECK(alignmentPlace(m).Qt == Approx(Qe * Qm / (Qe + Qm)));
}

TEST_CASE("as tuned now is the housing as the file has it, with its own leaks or none")
{
    // Not as if it leaked with the default of Q 7, and with the ends that the port has in its cavity.
    for (const double q : {0.0, 4.0, 15.0}) {
        CAPTURE(q);
        Housing housing = closedHousing(6e-3);
        PortOpening port;
        port.diameter = 0.05, port.length = 0.09;
        housing.openings.push_back({port, {}, {}});
        if (q > 0) housing.openings.push_back({LeakByQ{q}, {}, {}});
        const Model m = modelOfReference(housing);
        const AlignmentPlace place = alignmentPlace(m);
        const auto summary = summaryOf(m);
        REQUIRE(summary);
        REQUIRE(place.now);
        CHECK(place.now->tuning == summary->fb);
        CHECK(place.now->f3 == Approx(summary->f3.value()).epsilon(1e-12));
        CHECK(place.now->ripple == Approx(summary->hump ? summary->hump->height : 0).margin(1e-9));
        CHECK(place.assumedLeak == (q == 0));
        REQUIRE(place.best.tuning);
    }
}

TEST_CASE("outside the families there is no aligned box, and the words say so")
{
    CHECK_FALSE(alignedBox(3, 7));
    CHECK_FALSE(alignedBox(0.05, 7));
    CHECK_FALSE(alignedBox(std::numeric_limits<double>::quiet_NaN(), 7));
    CHECK_FALSE(alignedBox(0.4, 0));
    Model m = modelOfReference(closedHousing(5e-3), 1, 0);
    m.driver.Qes = 5;
    CHECK(alignmentWords(alignmentPlace(m))[0].find("outside") != std::string::npos);
}

TEST_CASE("an aligned box has the Qt it was asked for")
{
    rc::prop("any Qt and leak", [] {
        const double Qt = logUniform(0.12, 0.6), QL = coin() ? lossless : logUniform(5, 100);
        const auto box = alignedBox(Qt, QL);
        if (!box) {
            RC_ASSERT(Qt > 0.45);  // only high Qt have none
            return;
        }
        RC_ASSERT(std::abs(box->box.Qt / Qt - 1) < 1e-6);
        RC_ASSERT(box->box.alpha > 0);
        RC_ASSERT(box->figures.f3 > 0);
        RC_ASSERT(box->alignment == Alignment::C4 || box->figures.ripple < 1e-3);  // only C4 ripples
    });
}

TEST_CASE("a driver of high Qt in a tiny volume is told that no port serves it")
{
    Driver d = referenceDriver(0);
    d.Bl /= 1.5;  // Qes 1
    Model m = modelOfReference(closedHousing(1e-3), 1, 0);
    m = modelFrom(m.air, completed(d), m.housing, {}, {});
    const AlignmentPlace place = alignmentPlace(m);
    CHECK(place.bestSealed);
    CHECK_FALSE(place.best.tuning);
    bool told = false;
    for (const std::string& sentence : alignmentWords(place))
        told |= sentence.find("better than none") != std::string::npos;
    CHECK(told);
}

TEST_CASE("where no port is better than none, f3 is what the summary of the housing without it says")
{
    int seen = 0;
    for (const double volume : {1.2e-3, 1.6e-3, 2.5e-3})
        for (const double q : {4.0, 7.0, 20.0}) {
            CAPTURE(volume, q);
            Housing sealed = closedHousing(volume), ported = sealed;
            sealed.openings = ported.openings = {{LeakByQ{q}, {}, {}}};
            PortOpening port;
            port.diameter = 0.03, port.length = 0.08;
            ported.openings.push_back({port, {}, {}});
            Driver d = referenceDriver();
            d.Bl = 4.5;
            const auto model = [&](const Housing& h) {
                return modelFrom(roundAir(), completed(d), h, Feed{}, Place{});
            };
            const AlignmentPlace there = alignmentPlace(model(sealed)), with = alignmentPlace(model(ported));
            if (!there.bestSealed) continue;
            const auto summary = summaryOf(model(sealed));
            REQUIRE(summary);
            CHECK(there.best.f3 == Approx(summary->f3.value()).epsilon(1e-9));
            CHECK(with.best.f3 == Approx(there.best.f3).epsilon(1e-9));
            CHECK(there.best.ripple == Approx(summary->hump ? summary->hump->height : 0).margin(1e-9));
            ++seen;
        }
    CHECK(seen >= 6);
}
