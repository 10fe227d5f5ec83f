// SPDX-License-Identifier: GPL-3.0-or-later
// Ducts and ports as lines against ngspice: its ideal transmission lines where there is no loss, ladders of many short
// cells where there is. The netlists carry volume velocity in units of 1e-5 m3/s.
#include "circuit.h"
#include "spice.h"

#include "../core/support/random_project.h"
#include "core/network/network.h"
#include "core/response/model.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

using Complex = std::complex<double>;

double disc(double radius) { return pi * radius * radius; }

struct Netlist {
    std::vector<std::string> lines{"line"};
    int lineCount = 0;
    template <class... Args> void add(fmt::format_string<Args...> text, Args&&... args)
    {
        lines.push_back(fmt::format(text, std::forward<Args>(args)...));
    }
    // A cavity at `node` fed through 1e6 Pa s/m3 by 1 Pa.
    void feed(const std::string& node)
    {
        add("Vsource s0 0 dc 0 ac 1");
        add("Rfeed s0 {} {:.17g}", node, 1e6 * flowUnit);
    }
    // An ideal line, shorted where it is hardly there.
    void line(const Air& air, const std::string& from, const std::string& to, double length, double area)
    {
        if (length < 1e-6) return add("Vshort{} {} {} 0", ++lineCount, from, to);
        add("T{} {} 0 {} 0 Z0={:.17g} TD={:.17g}", ++lineCount, from, to, air.rho * air.c / area * flowUnit,
            length / air.c);
    }
    // Air of a box, H deep, of section A, from the wall w1 that a tube reaches P into from, to w2: m at `driver`, the
    // tube's inner mouth at e; beside the tube its outline is off.
    void box(const Air& air, double H, double A, double P, double outline, double driver)
    {
        const double beside = A - outline;
        if (driver < P) {
            line(air, "w1", "m", driver, beside);
            line(air, "m", "e", P - driver, beside);
            line(air, "e", "w2", H - P, A);
        } else {
            line(air, "w1", "e", P, beside);
            line(air, "e", "m", driver - P, A);
            line(air, "m", "w2", H - driver, A);
        }
        add("Rwall1 w1 0 1e15");
        add("Rwall2 w2 0 1e15");
    }
    // A tube from e to the outside, a loss R at each mouth, its flow in vout.
    void tube(const Air& air, double length, double area, double inner, double outer, double R)
    {
        const double M = air.rho / area * flowUnit;
        add("Lin e p1 {:.17g}", M * inner);
        add("Rin p1 p2 {:.17g}", R);
        line(air, "p2", "p3", length, area);
        add("Rout p3 p4 {:.17g}", R);
        add("Lout p4 p5 {:.17g}", M * outer);
        add("Vout p5 0 0");
    }
    Complex at(double f, const std::string& vector)
    {
        static Spice spice;
        auto all = lines;
        all.push_back(fmt::format(".ac lin 1 {0:.17g} {0:.17g}", f));
        all.push_back(".end");
        spice.run(all);
        return spice.vector(vector)[0];
    }
};

}  // namespace

TEST_CASE("ducts and ports without loss are ngspice's ideal lines")
{
    rc::prop("two cylinders, driver's node between them, a port line at the far end", [] {
        const Air air = roundAir();
        const double S[] = {logUniform(3e-3, 0.05), logUniform(3e-3, 0.05)},
                     L[] = {logUniform(0.05, 0.6), logUniform(0.05, 0.6)};
        const double a = logUniform(0.01, 0.04), length = logUniform(0.02, 0.3), f = logUniform(10, 2000);
        const double inner = a * 0.5, outer = a * 0.8;
        const double loss = logUniform(10, 1e4);
        const int count = *rc::gen::inRange(1, 4);

        Network n;
        const Node in = n.addNode("in"), middle = n.addNode("middle"), end = n.addNode("end");
        n.sources.push_back({in, 1, {}, {}});
        n.elements.push_back(Inertance{in, middle, 0, 1e6});
        Duct back, front;
        back.from = middle, back.closed = true, back.walls = false, back.slices = {{L[0], S[0], S[0], 0}};
        front.from = middle, front.to = end, front.walls = false, front.slices = {{L[1], S[1], S[1], 0}};
        PortLine port;
        port.from = end, port.to = ground;
        port.radius = a, port.area = disc(a), port.length = length, port.count = count;
        port.inner = {inner, 0, 0}, port.outer = {outer, Radiation::none}, port.givenLoss = loss;
        n.elements.push_back(back), n.elements.push_back(front), n.elements.push_back(port);
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, f));
        const auto s = solve(n, grid, air);
        RC_ASSERT(s.has_value());

        Netlist net;
        net.feed("m");
        net.line(air, "m", "w", L[0], S[0]);
        net.add("Rwall w 0 1e15");
        net.line(air, "m", "e", L[1], S[1]);
        net.tube(air, length, count * disc(a), inner, outer, loss / 2 / count * flowUnit);
        const Complex m = net.at(f, "m");
        const Complex U = flowUnit * net.at(f, "vout#branch");
        RC_ASSERT(std::abs(s->node[middle.index][0] - m) <= 1e-6 * std::abs(m));
        RC_ASSERT(std::abs(flowThrough(port, *s, grid, air).value[0] - U) <= 1e-6 * std::abs(U));
    });
}

TEST_CASE("a tube in a box, as the program makes it of a housing, is ngspice's ideal lines from its sizes")
{
    rc::prop("driver before, at and beyond the mouth", [] {
        const Air air = roundAir();
        const double H = logUniform(0.1, 0.5), A = logUniform(0.01, 0.05), a = logUniform(0.01, 0.03), t = 0.003;
        const double P = H * logUniform(0.1, 0.8), L = P + logUniform(0.005, 0.2),
                     at = H * *rc::gen::inRange(0, 101) / 100;
        const double f = logUniform(10, 2000), loss = logUniform(10, 500), outline = disc(a + t);
        Housing h = closedHousing(A * H - outline * P);
        h.cavity.width = h.cavity.breadth = std::sqrt(A);
        h.cavity.depth = H, h.cavity.driverAt = at;
        PortOpening p;
        p.diameter = 2 * a, p.length = L, p.inside = P, p.wall = t, p.lossQ = loss;
        h.openings.push_back({p, {}, {}});
        Network n = airOf(modelFrom(air, completed(referenceDriver()), h, Feed{}, Place{}));
        PortLine port;
        for (Element& e : n.elements) {
            if (auto* duct = std::get_if<Duct>(&e)) duct->walls = false;
            if (auto* line = std::get_if<PortLine>(&e)) {
                line->outer.radiation = Radiation::none;
                port = *line;
            }
        }
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, f));
        const auto s = solve(n, grid, air);
        RC_ASSERT(s.has_value());

        Netlist net;
        net.add("Vsource m 0 dc 0 ac 1");  // 1 Pa where the drivers are
        net.box(air, H, A, P, outline, at);
        const double k = 2 * pi * f / air.c, inner = port.inner.l0 + port.inner.l2 * k * k;
        // half of w0 Map/Q at each mouth, the mass by the textbook sums
        const double mass = air.rho * (L + (0.6133 + 0.8217) * a) / disc(a);
        const double R = std::sqrt(mass * air.rho * air.c * air.c / h.cavity.netVolume) / loss / 2 * flowUnit;
        net.tube(air, L, disc(a), inner, port.outer.length, R);
        const Complex U = flowUnit * net.at(f, "vout#branch");
        RC_ASSERT(std::abs(flowThrough(port, *s, grid, air).value[0] - U) <= 1e-5 * std::abs(U));
    });
}

TEST_CASE("a tube in a second cavity is ngspice's ideal lines behind a hole from the main cavity's spring")
{
    rc::prop("hole opposite the port, or anywhere before and beyond the mouth", [] {
        const Air air = roundAir();
        const double H = logUniform(0.1, 0.5), A = logUniform(0.01, 0.05), a = logUniform(0.01, 0.03), t = 0.003;
        const double P = H * logUniform(0.1, 0.8), L = P + logUniform(0.005, 0.2);
        const bool given = coin();
        const double at = given ? H * *rc::gen::inRange(0, 101) / 100 : H;
        const double V1 = logUniform(0.5e-3, 20e-3), holeBore = logUniform(0.02, 0.08), wall = 0.004;
        const double f = logUniform(10, 2000), loss = logUniform(10, 500), outline = disc(a + t);
        Housing h = closedHousing(V1);
        h.secondCavity = SecondCavity{};
        Cavity& second = h.secondCavity->cavity;
        second.netVolume = A * H - outline * P;
        second.width = second.breadth = std::sqrt(A);
        second.depth = H;
        if (given) second.driverAt = at;
        h.secondCavity->hole = {holeBore, wall, loss, {}};
        PortOpening p;
        p.diameter = 2 * a, p.length = L, p.inside = P, p.wall = t, p.lossQ = loss;
        h.openings.push_back({p, CavityId::second, {}});
        const CompleteDriver driver = completed(referenceDriver());
        Network n = airOf(modelFrom(air, driver, h, Feed{}, Place{}));
        PortLine port;
        for (Element& e : n.elements) {
            if (auto* duct = std::get_if<Duct>(&e)) duct->walls = false;
            if (auto* line = std::get_if<PortLine>(&e)) {
                line->outer.radiation = Radiation::none;
                port = *line;
            }
        }
        RC_ASSERT(port.length > 0);
        const Grid grid = gridOf(Eigen::ArrayXd::Constant(1, f));
        const auto s = solve(n, grid, air);
        RC_ASSERT(s.has_value());

        Netlist net;
        net.add("Vsource b1 0 dc 0 ac 1");
        net.add("Cmain b1 0 {:.17g}", V1 / (air.rho * air.c * air.c) / flowUnit);
        // losses by Q: w0 of the main cavity, which has no opening of its own
        const Driver& d = driver.driver;
        const double w0 = 2 * pi * fs(d) * std::sqrt(1 + d.Cms * d.Sd * d.Sd * air.rho * air.c * air.c / V1);
        const double holeMass = air.rho * (wall + 2 * 0.8217 * holeBore / 2) / disc(holeBore / 2);
        net.add("Lhole b1 h1 {:.17g}", holeMass * flowUnit);
        net.add("Rhole h1 m {:.17g}", w0 * holeMass / loss * flowUnit);
        net.box(air, H, A, P, outline, at);
        const double k = 2 * pi * f / air.c;
        const double R = w0 * air.rho * (L + (0.6133 + 0.8217) * a) / disc(a) / loss / 2 * flowUnit;
        net.tube(air, L, disc(a), port.inner.l0 + port.inner.l2 * k * k, port.outer.length, R);
        const Complex U = flowUnit * net.at(f, "vout#branch");
        RC_ASSERT(std::abs(flowThrough(port, *s, grid, air).value[0] - U) <= 1e-5 * std::abs(U));
    });
}

TEST_CASE("a lined, lossy cone is a ladder of short cells in ngspice")
{
    // Cells of (R + j w M)/2, C with R in series, (R + j w M)/2; viscous and thermal shares of the walls by the large
    // radius limit (1 - j)/rv sqrt2 of F, their losses alone.
    const Air air = roundAir();
    const double L = 0.5, r1 = 0.04, r2 = 0.09, tau = 2e-5, fill = 1.15, f = 310, w = 2 * pi * f;
    Network n;
    const Node in = n.addNode("in"), box = n.addNode("box");
    n.sources.push_back({in, 1, {}, {}});
    n.elements.push_back(Inertance{in, box, 0, 1e6});
    Duct duct;
    duct.from = box, duct.closed = true, duct.fill = fill, duct.absorption = tau;
    constexpr int slices = 20, cells = 2000;  // errors as 1/cells^2; slices have one hydraulic radius each
    for (int i = 0; i < slices; ++i)
        duct.slices.push_back(
            {L / slices, disc(r1 + (r2 - r1) * i / slices), disc(r1 + (r2 - r1) * (i + 1) / slices), 0});
    n.elements.push_back(duct);
    const auto s = solve(n, gridOf(Eigen::ArrayXd::Constant(1, f)), air);
    REQUIRE(s);

    Netlist net;
    net.feed("n0");
    const double dx = L / cells, delta = std::sqrt(2 * air.mu / (air.rho * w));
    for (int i = 0; i < cells; ++i) {
        const double r = r1 + (r2 - r1) * (i + 0.5) / cells, S = disc(r);
        // Re z = w rho delta/r (1 + 3/2 delta/r) S^-1, Re y likewise with the thermal layer
        const double R = w * air.rho * (delta / r) * (1 + 1.5 * delta / r) / S * dx;
        const double heat = delta / std::sqrt(air.Pr);
        const double G = w * S / (air.rho * air.c * air.c) * (air.gamma - fill) * (heat / r) * dx;
        const double C = fill * S / (air.rho * air.c * air.c) * dx, M = air.rho / S * dx;
        net.add("R{0} n{0} a{0} {1:.17g}", i, R * flowUnit);
        net.add("L{0} a{0} b{0} {1:.17g}", i, M / 2 * flowUnit);
        net.add("C{0} b{0} c{0} {1:.17g}", i, C / flowUnit);
        net.add("Rd{0} c{0} 0 {1:.17g}", i, tau / C * flowUnit);
        net.add("Rg{0} b{0} 0 {1:.17g}", i, flowUnit / G);
        net.add("L{0}z b{0} n{1} {2:.17g}", i, i + 1, M / 2 * flowUnit);
    }
    net.add("Rend n{} 0 1e15", cells);
    const Complex p = net.at(f, "n0");
    CHECK(std::abs(s->node[box.index][0] - p) <= 1e-4 * std::abs(p));
}
