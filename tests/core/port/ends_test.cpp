// SPDX-License-Identifier: GPL-3.0-or-later
// The ends of ports against finite-element results (tests/data/port_tuning.csv), each row as a cavity line with a port
// line at its end, without losses; and against values printed elsewhere.
#include "core/port/ends.h"

#include "core/response/rises.h"

#include "../support/port_table.h"
#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>
#include <set>

using namespace portwright;
using namespace portwright::test;

namespace {

double square(double x) { return x * x; }

Mouth mouthOf(const PortCase& c)
{
    return c("port_shape") == "slot" ? slotMouth(c.metres("slot_width_mm"), c.metres("slot_height_mm"))
                                     : roundMouth(c.metres("bore_radius_mm"));
}

double outerLength(const PortCase& c, const Mouth& mouth)
{
    if (c("outer_end") == "housing_front") return outerEndInFront(mouth.radius, c.metres("housing_radius_mm"));
    const double alone = outerEndInWall(mouth);
    return c("port_count") == "2" ? alone + neighbourLength(mouth.radius, 0.060) : alone;  // its note: 60 mm apart
}

BoxPlace boxOf(const PortCase& c)
{
    BoxPlace box{c.metres("cav_width_mm"), c.metres("cav_breadth_mm"), c.metres("cav_depth_mm"), c.metres("port_x_mm"),
                 c.metres("port_y_mm")};
    if (c("port_count") == "2") {  // half the box, up to the mirror plane between the two
        box.width /= 2;
        box.x -= box.width;
    }
    return box;
}

PortLine portOf(const PortCase& c, InnerEnd inner)
{
    const Mouth mouth = mouthOf(c);
    PortLine p;
    p.radius = mouth.radius;
    p.area = areaOf(mouth);
    p.length = c.metres("port_length_mm");
    p.inner = inner;
    p.outer = {outerLength(c, mouth), Radiation::flush};
    p.givenLoss = 0;  // none at all
    return p;
}

Duct closedDuct(double area, double length)
{
    Duct d;
    d.closed = true;
    d.walls = false;
    d.slices.push_back({length, area, area, 0});
    return d;
}

// Frequencies where ducts and port together resonate against each other: Im Y = 0 rising at their common node.
std::optional<double> resonance(const std::vector<Duct>& ducts, const PortLine& port, double from, double to)
{
    const Air air = portTableAir();
    const auto susceptance = [&](const Grid& grid) {
        Eigen::ArrayXd b(grid.size());
        for (Eigen::Index i = 0; i < grid.size(); ++i) {
            const Chain p = chainAt(port, grid.omega[i], air);
            b[i] = (p.D / p.B).imag();
            for (const Duct& d : ducts) {
                const Chain t = chainAt(d, grid.omega[i], air);
                b[i] += (t.C / t.A).imag();
            }
        }
        return b;
    };
    return riseOf(susceptance, Rise::first, from, to, 400);
}

struct Found {
    double tuning, second;
};
Found found(const std::vector<Duct>& ducts, const PortLine& port)
{
    const auto fb = resonance(ducts, port, 20, 2000);
    REQUIRE(fb);
    return {*fb, resonance(ducts, port, *fb * 1.2, 2000).value_or(0)};
}

double percent(double ours, double theirs) { return 100 * (ours / theirs - 1); }

// The cavity as a line along the port's axis.
Found alongPort(const PortCase& c)
{
    if (c("cavity") == "cylinder") {
        const double R = c.metres("cav_radius_mm"), H = c.metres("cav_depth_mm");
        const PortLine port = portOf(c, innerEndInCylinder(R, H, c.metres("bore_radius_mm")));
        return found({closedDuct(pi * R * R, H)}, port);
    }
    const BoxPlace box = boxOf(c);
    return found({closedDuct(box.width * box.breadth, box.depth)}, portOf(c, innerEndInBox(box, mouthOf(c))));
}

}  // namespace

TEST_CASE("the tuning of flush ports is that of the finite-element table")
{
    // Worst error of tuning by kind, in per cent. The table's own error is 0.02; the rest is what uniform velocity in
    // the mouth, and for slots and pairs the closed forms of the outer end, leave.
    const std::map<std::string, double> allowed{
        {"flush", 0.1},     {"flush-depth", 0.1}, {"random-flush", 0.1},  {"long", 0.1},       {"free-housing", 0.1},
        {"box-round", 0.2}, {"box-slot", 0.2},    {"box-two-ports", 0.2}, {"box-random", 0.2}, {"box-long", 0.2}};
    std::set<std::string> seen;
    for (const PortCase& c : portCases()) {
        if (!allowed.contains(c("kind"))) continue;  // with all their parts: port_tuning_test.cpp
        CAPTURE(c("id"), c("kind"), c("notes"));
        const double error = percent(alongPort(c).tuning, c.number("fb_hz"));
        CHECK(std::abs(error) < allowed.at(c("kind")));
        seen.insert(c("kind"));
    }
    CHECK(seen.size() == allowed.size());
}

TEST_CASE("in long cylinders the second resonance is that of the table too")
{
    for (const PortCase& c : portCases())
        if (c("kind") == "long") {
            CAPTURE(c("id"));
            CHECK(std::abs(percent(alongPort(c).second, c.number("second_hz"))) < 0.2);
        }
}

TEST_CASE("a port in the side of a long box, reckoned along the box, is that of the table")
{
    for (const PortCase& c : portCases())
        if (c("kind") == "box-long") {
            CAPTURE(c("id"));
            const BoxPlace box = boxOf(c);
            const double across = box.width * box.depth;
            std::vector<Duct> ducts{closedDuct(across, box.y), closedDuct(across, box.breadth - box.y)};
            const Found f = found(ducts, portOf(c, innerEndOnDuct(box, mouthOf(c))));
            CHECK(std::abs(percent(f.tuning, c.number("fb_hz"))) < 0.2);
            // In mid length the table lists the mode that the port does not feel, a driver elsewhere does.
            if (std::abs(box.y - box.breadth / 2) > 0.01)
                CHECK(std::abs(percent(f.second, c.number("second_hz"))) < 0.5);
        }
}

TEST_CASE("a centred mouth in a coaxial cylinder has the static end of the printed table")
{
    // sum 4 J1(mu xi)^2 coth(mu D/R)/(mu^3 xi J0(mu)^2), evaluated in Python, 5 digits; uniform velocity.
    const double table[][3] = {{0.1, 0.73834, 1.1591}, {0.3, 0.52224, 0.6031}, {0.5, 0.32139, 0.3345}};
    for (const auto& row : table) {
        const double a = row[0];
        CHECK(innerEndInCylinder(1, 1e3, a).l0 / a + 0.0271 == Approx(row[1]).margin(5e-5));
        CHECK(innerEndInCylinder(1, a, a).l0 / a + 0.0271 == Approx(row[2]).margin(1e-4));
    }
}

TEST_CASE("a mouth in the middle of a wide wall has the end of a mouth in an endless one")
{
    // What the far walls take is 1.35 a/R of it (Kergomard and Garcia) with R the radius of equal area.
    const double a = 0.01, side = 1;
    const double walls = 0.8216 * 1.35 * a / (side / std::sqrt(pi));
    const InnerEnd end = innerEndInBox({side, side, 10, side / 2, side / 2}, roundMouth(a));
    CHECK(end.l0 / a == Approx(0.8216 - walls).margin(2e-3));
}

TEST_CASE("the mirror image of a wall doubles a mouth beside it")
{
    // A mouth at a wall and two mouths about that plane in twice the box are one and the same.
    const BoxPlace half{0.2, 0.3, 0.15, 0.04, 0.15};
    const Mouth m = roundMouth(0.02);
    const double one = innerEndInBox(half, m).l0;
    const double centred = innerEndInBox({0.2, 0.3, 0.15, 0.1, 0.15}, m).l0;
    CHECK(one > centred);
    // a^2/(2 s) by the image at 2 x 40 mm, to a tenth of it
    CHECK(innerEndInBox({10, 10, 10, 0.04, 5}, m).l0 - innerEndInBox({10, 10, 10, 5, 5}, m).l0 ==
          Approx(neighbourLength(0.02, 0.08)).epsilon(0.1));
}

TEST_CASE("slots in a wall have the outer ends of the table's notes, and a square one nearly that of a circle")
{
    CHECK(outerEndInWall(slotMouth(0.100, 0.025)) == Approx(0.02056).epsilon(2e-3));
    CHECK(outerEndInWall(slotMouth(0.140, 0.0175)) == Approx(0.01804).epsilon(2e-3));
    CHECK(outerEndInWall(slotMouth(0.160, 0.020)) == Approx(0.02061).epsilon(2e-3));
    CHECK(outerEndInWall(slotMouth(0.02, 0.1)) == Approx(outerEndInWall(slotMouth(0.1, 0.02))).epsilon(1e-12));
    // Uniform velocity over a square: 0.83873 of the radius of equal area, over a circle 0.84883 (exact integrals).
    const Mouth s = slotMouth(0.05, 0.05);
    CHECK(outerEndInWall(s) / s.radius + 0.0305 == Approx(0.83873).epsilon(1e-5));
}

TEST_CASE("a mouth in a front of finite size has less end than in a wall, and a thin tube's is the free one")
{
    CHECK(outerEndInFront(0.03, 0.036) / 0.03 == Approx(0.67643).epsilon(2e-3));  // b/a 1.2, printed with 0.6133
    CHECK(outerEndInFront(0.03, 0.12) / 0.03 == Approx(0.78376).epsilon(2e-3));
    CHECK(outerEndInFront(0.03, 1e6) == Approx(outerEndInWall(roundMouth(0.03))).epsilon(1e-6));
    CHECK(outerEndInFront(0.03, 0.03) / 0.03 == Approx(0.6133).epsilon(1e-9));
}

TEST_CASE("the derivative by k^2 of an inner end is its slope")
{
    const InnerEnd end = innerEndInCylinder(0.05, 0.6, 0.02);
    CHECK(end.l2 > 0);
    // Only the first mode counts much: l2 ~ g S/A /(2 K^3).
    const double K = 3.8317059702 / 0.05, xi = 0.4, z = 3.8317059702;
    const double g = square(2 * j1(z * xi) / (z * xi) / j0(z));
    CHECK(end.l2 == Approx(square(xi) * g / (2 * K * K * K)).epsilon(0.15));
    CHECK(end.heldFrom == Approx(K / 2));
}

namespace {

struct Placed {
    BoxPlace box;
    Mouth mouth;
};
Placed arbitraryPlace()
{
    Placed p;
    p.box.width = logUniform(0.05, 0.5), p.box.breadth = logUniform(0.05, 0.5), p.box.depth = logUniform(0.02, 0.6);
    const double side = std::min(p.box.width, p.box.breadth);
    p.mouth = coin() ? roundMouth(side * logUniform(0.05, 0.2)) : slotMouth(side * logUniform(0.2, 0.5), 0.1 * side);
    p.box.x = coin() ? p.box.width / 2 : p.box.width * logUniform(0.3, 0.7);
    p.box.y = coin() ? p.box.breadth / 2 : p.box.breadth * logUniform(0.3, 0.7);
    if (coin()) {
        const double apart = 0.1 * side;
        if (coin())
            p.box.centres = {{-apart, 0}, {apart, 0}};
        else
            p.box.centres = {{-apart, -apart}, {apart, -apart}, {0, apart}};
    }
    return p;
}

// (S/A) sum of g_mn term(K) over all modes but the plane one, to K a = 20 and 40, as it is printed.
template <class Of> double printedSum(const Placed& p, const Of& term)
{
    const auto sinc = [](double u) { return u == 0 ? 1 : std::sin(u) / u; };
    const double W = p.box.width, D = p.box.breadth, a = p.mouth.radius;
    const double most = (p.mouth.width > 0 ? 40 : 20) / a;
    auto centres = p.box.centres;
    if (centres.empty()) centres.push_back({0, 0});
    double sum = 0;
    for (int m = 0; m * pi / W <= most; ++m)
        for (int n = m == 0 ? 1 : 0; std::hypot(m * pi / W, n * pi / D) <= most; ++n) {
            const double K = std::hypot(m * pi / W, n * pi / D);
            double at = 0;
            for (const auto& [x, y] : centres)
                at += std::cos(m * pi * (p.box.x + x) / W) * std::cos(n * pi * (p.box.y + y) / D);
            const double mean = p.mouth.width > 0
                                    ? sinc(m * pi * p.mouth.width / (2 * W)) * sinc(n * pi * p.mouth.height / (2 * D))
                                    : 2 * j1(K * a) / (K * a);
            sum += (m > 0 ? 2 : 1) * (n > 0 ? 2 : 1) * square(at * mean) / double(centres.size()) * term(K);
        }
    return sum * areaOf(p.mouth) / (W * D);
}

}  // namespace

TEST_CASE("sums over modes are the printed ones, kept from before or not")
{
    // Left out: modes below 1e-9 of their neighbours, walls below 1e-12, a round mouth's mean from a table to 1e-10.
    rc::prop("any box, round mouths and slots, one or more", [] {
        const Placed p = arbitraryPlace();
        const double H = p.box.depth;
        ModeSums known;
        const double tail = p.mouth.width > 0 ? 0 : p.mouth.radius / (pi * 400);
        const double ends = tail - uniformExcess(p.mouth);
        const double atWall = printedSum(p, [&](double K) { return 1 / (K * std::tanh(K * H)); });
        const InnerEnd plain = innerEndInBox(p.box, p.mouth);
        RC_ASSERT(std::abs(plain.l0 - ends - atWall) < 1e-8 * atWall);
        const double slope = printedSum(p, [&](double K) {
            return (1 / (K * std::tanh(K * H)) + H / square(std::sinh(std::min(K * H, 300.0)))) / (2 * K * K);
        });
        RC_ASSERT(std::abs(plain.l2 - slope) < 1e-8 * slope);
        const double aside = printedSum(p, [&](double K) { return (1 + std::exp(-2 * K * H)) / K; });
        RC_ASSERT(std::abs(asideLength(p.box, p.mouth, H) - aside) < 1e-8 * aside);
        for (int again = 0; again < 2; ++again) {
            RC_ASSERT(std::abs(innerEndInBox(p.box, p.mouth, &known).l0 - plain.l0) < 1e-8 * atWall);
            RC_ASSERT(std::abs(innerEndInBox(p.box, p.mouth, &known).l2 - plain.l2) < 1e-8 * slope);
            RC_ASSERT(std::abs(asideLength(p.box, p.mouth, H, &known) - aside) < 1e-8 * aside);
        }
    });
}
