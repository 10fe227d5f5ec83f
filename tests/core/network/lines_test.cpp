// SPDX-License-Identifier: GPL-3.0-or-later
// Ducts and ports as lines. Check values: the chain matrix of a cone, resonances of tubes and cones, and the
// propagation constant of Zwikker and Kosten were evaluated outside this program (Python, mpmath) and are given in
// printed digits.
#include "core/network/network.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

using Complex = std::complex<double>;

double disc(double radius) { return pi * radius * radius; }

Air tableAir()
{
    Air air = roundAir();
    air.mu = 1.81e-5;
    air.gamma = 1.4;
    air.Pr = 0.71;
    return air;
}

Duct cone(double r1, double r2, double length, bool walls = false)
{
    Duct d;
    d.slices.push_back({length, disc(r1), disc(r2), 0});
    d.walls = walls;
    return d;
}

PortLine line(double radius, double length)
{
    PortLine p;
    p.radius = radius;
    p.area = disc(radius);
    p.length = length;
    return p;
}

Duct arbitraryDuct()
{
    Duct d;
    double area = logUniform(5e-4, 0.1);
    for (int n = *rc::gen::inRange(1, 6); n > 0; --n) {
        const double next = coin() ? area : logUniform(5e-4, 0.1);
        d.slices.push_back({logUniform(0.005, 0.3), area, next, coin() ? 0 : 4.5 * std::sqrt((area + next) / 2)});
        area = next;
    }
    d.fill = logUniform(1, 1.4);
    if (coin()) d.absorption = logUniform(1e-6, 1e-3);
    d.walls = coin();
    return d;
}

PortLine arbitraryLine()
{
    PortLine p = line(logUniform(0.01, 0.06), logUniform(0.005, 0.5));
    if (coin()) p.slotHeight = p.radius * logUniform(0.3, 1.5);
    p.count = *rc::gen::inRange(1, 5);
    p.inner = {p.radius * logUniform(0.1, 1.5), logUniform(1e-7, 1e-4), logUniform(5, 40)};
    p.outer = {p.radius * logUniform(0.4, 1), coin() ? Radiation::flush : coin() ? Radiation::free : Radiation::none};
    if (coin()) p.givenLoss = logUniform(10, 1e5);
    return p;
}

Complex determinant(const Chain& t) { return t.A * t.D - t.B * t.C; }
double size(const Chain& t) { return std::abs(t.A * t.D) + std::abs(t.B * t.C); }

// Power that goes in at both ends of a two-port at any pair of pressures is never negative: Re Y is positive
// semidefinite. Y11 = D/B, Y12 = -1/B, Y22 = A/B.
bool passive(const Chain& t)
{
    const double a = (t.D / t.B).real(), b = (-1.0 / t.B).real(), d = (t.A / t.B).real();
    const double scale = std::norm(t.D / t.B) + std::norm(t.A / t.B) + std::norm(1.0 / t.B);
    const double rounding = 1e-13 * std::sqrt(scale);
    return a > -rounding && d > -rounding && a * d - b * b > -rounding * std::sqrt(scale);
}

}  // namespace

TEST_CASE("a cone's chain matrix is the printed one, forwards and backwards")
{
    const auto t = chainAt(cone(0.03, 0.08, 0.5), 2 * pi * 200, roundAir());
    CHECK(t.A.real() == Approx(-1.5672312).epsilon(1e-7));
    CHECK(t.B.imag() == Approx(52740.800).epsilon(1e-7));
    CHECK(t.C.imag() == Approx(2.5879941e-5).epsilon(1e-7));
    CHECK(t.D.real() == Approx(0.23284936).epsilon(1e-7));
    const auto back = chainAt(cone(0.08, 0.03, 0.5), 2 * pi * 200, roundAir());
    CHECK(back.A.real() == Approx(t.D.real()).epsilon(1e-12));  // a symmetric line turned round swaps A and D
    CHECK(back.B.imag() == Approx(t.B.imag()).epsilon(1e-12));
}

TEST_CASE("many short cylinders come to the cone, as the square of their number")
{
    const auto error = [](int n) {
        Duct steps;
        steps.walls = false;
        for (int i = 0; i < n; ++i) {
            const double r = 0.03 + 0.05 * (i + 0.5) / n;
            steps.slices.push_back({0.5 / n, disc(r), disc(r), 0});
        }
        const double w = 2 * pi * 200;
        return std::abs(chainAt(steps, w, roundAir()).A - chainAt(cone(0.03, 0.08, 0.5), w, roundAir()).A);
    };
    CHECK(error(400) < 1e-4);
    CHECK(error(200) / error(400) == Approx(4).epsilon(0.01));
}

TEST_CASE("closed and open tubes and cones resonate where they must")
{
    const Air air = roundAir();
    const double L = 0.5;
    const auto at = [&](const Duct& d, double f) { return chainAt(d, 2 * pi * f, air); };
    const Duct tube = cone(0.05, 0.05, L);
    for (int n = 1; n < 5; ++n) {
        const double Zc = air.rho * air.c / disc(0.05), half = n * air.c / (2 * L);
        CHECK(std::abs(at(tube, half).C) * Zc < 1e-12 * n);                            // closed at both ends
        CHECK(std::abs(at(tube, half).B) / Zc < 1e-12 * n);                            // open at both
        CHECK(std::abs(at(tube, (2 * n - 1) * air.c / (4 * L)).A) < 1e-12 * (2 * n));  // open here, closed there
        const Duct tip = cone(1e-6, 0.08, L);     // a cone to its tip, closed there and open at its base: n c/2L
        CHECK(std::abs(at(tip, half).D) < 2e-5);  // the tip's own width, 1e-6/0.08
    }
}

TEST_CASE("far below its first resonance a duct is the lumped spring with its lining")
{
    rc::prop("any shape, fill and lining", [] {
        Duct d = arbitraryDuct();
        d.walls = false;
        double V = 0;
        for (const DuctSlice& s : d.slices)
            V += s.length * (s.firstArea + s.lastArea + std::sqrt(s.firstArea * s.lastArea)) / 3;
        const Air air = roundAir();
        const double C = d.fill * V / (air.rho * air.c * air.c), w = 2 * pi * 1e-3;
        const Chain t = chainAt(d, w, air);
        const Complex Z = t.A / t.C, lumped = Complex(d.absorption / C, -1 / (w * C));
        RC_ASSERT(std::abs(Z.imag() / lumped.imag() - 1) < 1e-8);  // what is left is (k L)^2/3, 1e-9 for 1 m
        RC_ASSERT(std::abs(Z.real() - lumped.real()) <= 1e-8 * std::abs(lumped.real()) + 1e-15 * std::abs(Z.imag()));
    });
}

TEST_CASE("walls damp a wave as Zwikker and Kosten say")
{
    const auto loss = [](const auto& e, double f) {
        return std::abs(std::acosh(chainAt(e, 2 * pi * f, tableAir()).A).real()) / 0.1;
    };
    CHECK(loss(line(0.030, 0.1), 50) == Approx(0.007029).margin(6e-7));
    CHECK(loss(line(0.005, 0.1), 50) == Approx(0.043814).margin(6e-7));
    CHECK(loss(line(0.001, 0.1), 50) == Approx(0.265468).margin(6e-7));
    CHECK(loss(line(0.030, 0.1), 1000) == Approx(0.031250).margin(6e-7));
    // A duct leaves out what the layer adds to mass and spring: sqrt2/rv (1 - (gamma - 1)/sqrt Pr)/2 = 0.3 % at 50 Hz.
    CHECK(loss(cone(0.030, 0.030, 0.1, true), 50) == Approx(0.007029).epsilon(4e-3));
    CHECK(loss(cone(0.030, 0.030, 0.1, true), 1000) == Approx(0.031250).epsilon(1e-3));
}

TEST_CASE("every line is reciprocal and gives no power back")
{
    rc::prop("any duct", [] {
        const Chain t = chainAt(arbitraryDuct(), 2 * pi * logUniform(1, 20e3), referenceAir());
        RC_ASSERT(std::abs(determinant(t) - 1.0) < 1e-12 * (1 + size(t)));
        RC_ASSERT(passive(t));
    });
    rc::prop("any port", [] {
        const Chain t = chainAt(arbitraryLine(), 2 * pi * logUniform(1, 20e3), referenceAir());
        RC_ASSERT(std::abs(determinant(t) - 1.0) < 1e-12 * (1 + size(t)));
        RC_ASSERT(passive(t));
    });
}

TEST_CASE("the derivatives of a line are its slopes")
{
    const auto check = [](const auto& e, double w) {
        const double h = 1e-6 * w;
        const Chain t = chainAt(e, w, referenceAir()), up = chainAt(e, w + h, referenceAir()),
                    down = chainAt(e, w - h, referenceAir());
        const auto same = [&](Complex slope, Complex difference, double scale) {
            return std::abs(slope - difference / (2 * h)) <= 1e-6 * (std::abs(slope) + scale / w);  // 1e-16/1e-6 of it
        };
        return same(t.dA, up.A - down.A, std::abs(t.A)) && same(t.dB, up.B - down.B, std::abs(t.B)) &&
               same(t.dC, up.C - down.C, std::abs(t.C)) && same(t.dD, up.D - down.D, std::abs(t.D));
    };
    rc::prop("any duct", [&] { RC_ASSERT(check(arbitraryDuct(), 2 * pi * logUniform(5, 5e3))); });
    rc::prop("any port", [&] {
        const PortLine p = arbitraryLine();
        const double w = 2 * pi * logUniform(5, 5e3);
        RC_PRE(std::abs(w / (p.inner.heldFrom * referenceAir().c) - 1) > 1e-5);  // the inner end has a corner there
        RC_ASSERT(check(p, w));
    });
}

TEST_CASE("two halves of a duct, joined at a node, are the whole")
{
    rc::prop("any duct cut between two slices", [] {
        const Duct whole = arbitraryDuct();
        RC_PRE(whole.slices.size() >= 2);
        const auto cut = *rc::gen::inRange<std::size_t>(1, whole.slices.size());
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, logUniform(5, 3000)));
        const auto far = [&](bool halved) {
            Network n;
            const Node in = n.addNode("in"), out = n.addNode("out");
            n.sources.push_back({in, 1, {}, {}});
            n.elements.push_back(Inertance{out, ground, 5, 1e4});
            Duct first = whole, second = whole;
            first.from = in, second.to = out;
            if (halved) {
                first.to = second.from = n.addNode("middle");
                first.slices.resize(cut);
                second.slices.erase(second.slices.begin(), second.slices.begin() + std::ptrdiff_t(cut));
                n.elements.push_back(second);
            } else {
                first.to = out;
            }
            n.elements.push_back(first);
            const auto s = solve(n, grid, referenceAir());
            RC_ASSERT(s.has_value());
            return s->node[out.index][0];
        };
        RC_ASSERT(std::abs(far(true) - far(false)) <= 1e-9 * std::abs(far(false)));
    });
}

TEST_CASE("what goes into the ends of a line is what its walls take, and both ends agree with its chain")
{
    rc::prop("any port between a spring and the open air", [] {
        Network n;
        const Node in = n.addNode("in"), box = n.addNode("box");
        n.sources.push_back({in, 1, {}, {}});
        n.elements.push_back(Inertance{in, box, 10, 1e4});
        PortLine p = arbitraryLine();
        p.from = box, p.to = ground;
        n.elements.push_back(p);
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, logUniform(5, 3000)));
        const auto s = solve(n, grid, referenceAir());
        RC_ASSERT(s.has_value());
        const EndFlows f = endFlows(n.elements[1], *s, grid, referenceAir());
        const Chain t = chainAt(p, grid.omega[0], referenceAir());
        RC_ASSERT(std::abs(f.first.value[0] - t.D * f.last.value[0]) <= 1e-10 * std::abs(f.first.value[0]));
        RC_ASSERT((s->node[box.index][0] * std::conj(f.first.value[0])).real() >= 0);
        RC_ASSERT(std::abs(flowThrough(p, *s, grid, referenceAir()).value[0] - f.last.value[0]) == 0.0);
    });
}

TEST_CASE("a port whose loss is given has that loss and no other at low frequency")
{
    PortLine p = line(0.03, 0.15);
    p.count = 2;
    p.inner.l0 = 0.02;
    p.outer = {0.0247, Radiation::flush};
    p.givenLoss = 400;
    const double w = 2 * pi * 0.1;
    const Complex Z = chainAt(p, w, tableAir()).B;
    CHECK(Z.real() == Approx(400.0 / 2).epsilon(1e-6));  // (k L)^2 = 8e-8
    CHECK(Z.imag() ==
          Approx(w * 1.2 * (0.15 + 0.02 + 0.0247) / (2 * disc(0.03))).epsilon(2e-6));  // R^2 C of its own air
}

TEST_CASE("at low frequency a port line is the lumped tube of the same lengths")
{
    PortLine p = line(0.03, 0.05);
    p.count = 3;
    p.inner.l0 = 0.018;
    p.outer = {0.8217 * 0.03, Radiation::flush};
    const Tube tube{.from = {},
                    .to = {},
                    .radius = 0.03,
                    .slotHeight = 0,
                    .area = disc(0.03),
                    .length = 0.05,
                    .ends = 0.018 + 0.8217 * 0.03,
                    .count = 3,
                    .wallInertance = true,
                    .radiationFactor = 1};
    const double w = 2 * pi * 20;
    const Complex ours = chainAt(p, w, tableAir()).B, lumped = impedanceAt(tube, w, tableAir()).Z;
    CHECK(ours.imag() == Approx(lumped.imag()).epsilon(5e-4));  // k L = 0.02 and ka = 0.011: their squares
    CHECK(ours.real() == Approx(lumped.real()).epsilon(5e-3));  // (1 + 2 ends/L) (k L)^2, and the ka^2 term
}

TEST_CASE("an open mouth reflects as the printed table says")  // the same rational form, evaluated in Python
{
    const auto mouth = [](Radiation kind, double x) {
        PortLine p = line(0.03, 0);
        const bool flush = kind == Radiation::flush;
        p.outer = {(flush ? (1.825 - 0.182) : (1.393 - 0.167)) / 2 * 0.03, kind};
        p.givenLoss = std::nullopt;
        const Air air = roundAir();
        const Complex Z = chainAt(p, x / 0.03 * air.c, air).B / (air.rho * air.c / disc(0.03));
        const Complex R = (Z - 1.0) / (Z + 1.0);
        return std::pair(std::abs(R), -std::arg(-R) / (2 * x));
    };
    const double table[][5] = {{0.1, 0.99504, 0.61169, 0.99013, 0.81734},
                               {0.5, 0.89056, 0.58305, 0.81061, 0.73733},
                               {1.0, 0.67812, 0.51682, 0.54692, 0.60038}};
    for (const auto& row : table) {
        CAPTURE(row[0]);
        CHECK(mouth(Radiation::free, row[0]).first == Approx(row[1]).margin(6e-6));
        CHECK(mouth(Radiation::free, row[0]).second == Approx(row[2]).margin(6e-6));
        CHECK(mouth(Radiation::flush, row[0]).first == Approx(row[3]).margin(6e-6));
        CHECK(mouth(Radiation::flush, row[0]).second == Approx(row[4]).margin(6e-6));
    }
}
