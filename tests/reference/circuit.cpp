// SPDX-License-Identifier: GPL-3.0-or-later
#include "circuit.h"

#include <cmath>
#include <fmt/format.h>

namespace portwright::test {

namespace {

struct Writer {
    const Air& air;
    const CompleteDriver& driver;
    const Housing& housing;
    double frequency;
    const std::vector<double>& airSpeed;
    Circuit circuit;

    double rhoC2() const { return air.rho * air.c * air.c; }
    void line(std::string text) { circuit.lines.push_back(std::move(text)); }

    static double k(TubeEnd end) { return end == TubeEnd::free ? 0.6133 : 0.8217; }

    static double area(const PortOpening& p)
    {
        return p.shape == PortShape::round ? pi * p.diameter * p.diameter / 4 : p.width * p.height;
    }

    double portMass(const PortOpening& p) const
    {
        const double S = area(p), a = std::sqrt(S / pi);
        return air.rho * (p.length + (k(p.innerEnd) + k(p.outerEnd)) * a) / (S * p.count.value_or(1));
    }

    double compliance(const Cavity& c) const { return c.fillFactor.value_or(1) * c.netVolume / rhoC2(); }

    double omega0() const
    {
        const double Cab = compliance(housing.cavity);
        double ports = 0, masses = 0, compliances = 0;
        for (const Opening& o : housing.openings) {
            if (o.cavity.value_or(CavityId::main) == CavityId::second) continue;
            if (const auto* p = std::get_if<PortOpening>(&o.kind)) ports += 1 / portMass(*p);
            if (const auto* r = std::get_if<PassiveRadiator>(&o.kind)) {
                masses += r->Sd * r->Sd / r->Mmp;
                compliances += r->Cms * r->Sd * r->Sd;
            }
        }
        if (ports > 0) return std::sqrt(ports / Cab);
        if (masses > 0) return std::sqrt((1 / Cab + 1 / compliances) * masses);
        const Driver& d = driver.driver;
        const double n = housing.driverCount.value_or(1);
        return 2 * pi * driver.fs * std::sqrt(1 + n * d.Cms * d.Sd * d.Sd / Cab);
    }

    // Volume velocity is carried in units of 1e-5 m3/s, which brings acoustic and electrical impedances to one size:
    // the simulator's pivoting loses digits otherwise.
    void acoustic(const std::string& name, const std::string& from, const std::string& to, double R, double M, double C)
    {
        series(name, from, to, R * flowUnit, M * flowUnit, C / flowUnit);
    }

    // R, L and C in series from a node to another through a sense source; C 0: none.
    void series(const std::string& name, const std::string& from, const std::string& to, double R, double L, double C)
    {
        line(fmt::format("V{0}s {1} {0}a 0", name, from));
        std::string at = name + "a";
        const auto part = [&](char kind, double value) {
            if (value == 0) return;
            const std::string next = fmt::format("{}{}", name, char(kind + 32));
            line(fmt::format("{0}{1} {2} {3} {4:.17g}", kind, name, at, next, value));
            at = next;
        };
        part('R', R);
        part('L', L);
        part('C', C);
        line(fmt::format("V{0}e {1} {2} 0", name, at, to));
    }

    std::string sense(const std::string& name) const
    {
        std::string lower = "v" + name + "s#branch";
        return lower;
    }

    void cavity(const std::string& node, const Cavity& c)
    {
        const double C = compliance(c);
        acoustic("c" + node, node, "0", c.absorptionQ ? 1 / (omega0() * C * *c.absorptionQ) : 0, 0, C);
        line(fmt::format("Rop{0} {0} 0 1e15", node));  // so that an operating point exists; 1e-11 of any load here
    }

    void opening(const Opening& o, int index)
    {
        const bool second = o.cavity.value_or(CavityId::main) == CavityId::second;
        const std::string node = second ? "b2" : "b1", name = fmt::format("o{}", index);
        const double w0 = omega0();
        if (const auto* q = std::get_if<LeakByQ>(&o.kind)) {
            acoustic(name, node, "0", q->q / (w0 * compliance(second ? housing.secondCavity->cavity : housing.cavity)),
                     0, 0);
        } else if (const auto* h = std::get_if<LeakHole>(&o.kind)) {
            const double a = h->diameter / 2, n = h->count.value_or(1);
            acoustic(name, node, "0", 8 * air.mu * h->depth / (pi * a * a * a * a * n),
                     air.rho * (4.0 / 3 * h->depth + 2 * 0.8217 * a) / (pi * a * a * n), 0);
        } else if (const auto* s = std::get_if<LeakSlit>(&o.kind)) {
            acoustic(name, node, "0", 12 * air.mu * s->depth / (s->width * std::pow(s->height, 3)),
                     1.2 * air.rho * s->depth / (s->width * s->height), 0);
        } else if (const auto* p = std::get_if<PortOpening>(&o.kind)) {
            double R, M = portMass(*p);
            if (p->lossQ) {
                R = w0 * M / *p->lossQ;
            } else {
                const auto Z = tubeAt(*p);
                R = Z.real();
                M = Z.imag() / (2 * pi * frequency);
                // straight ends: K 1; (4/(3 pi)) rho K u/S for each tube
                const std::size_t port = circuit.portSense.size();
                if (port < airSpeed.size())
                    R += 4 / (3 * pi) * air.rho * airSpeed[port] / (area(*p) * p->count.value_or(1));
            }
            acoustic(name, node, "0", R, M, 0);
            circuit.portSense.push_back(sense(name));
            circuit.portArea.push_back(area(*p) * p->count.value_or(1));
        } else if (const auto* r = std::get_if<PassiveRadiator>(&o.kind)) {
            const double S2 = r->Sd * r->Sd;
            acoustic(name, node, "0", r->Rms / S2, r->Mmp / S2, r->Cms * S2);
        }
        circuit.outside.push_back(sense(name));
    }

    // Viscous tubes have no netlist element: their impedance at this frequency is checked against tables elsewhere.
    std::complex<double> tubeAt(const PortOpening& p) const
    {
        const double a = std::sqrt(area(p) / pi);
        const Tube tube{.from = {},
                        .to = {},
                        .radius = a,
                        .slotHeight = p.shape == PortShape::slot ? std::min(p.width, p.height) : 0,
                        .area = area(p),
                        .length = p.length,
                        .ends = (k(p.innerEnd) + k(p.outerEnd)) * a,
                        .count = p.count.value_or(1),
                        .wallInertance = !p.classical,
                        .radiationFactor = p.outerEnd == TubeEnd::flush ? 1.0 : 0.5};
        return impedanceAt(tube, 2 * pi * frequency, air).Z;
    }

    void secondCavity()
    {
        cavity("b2", housing.secondCavity->cavity);
        const Hole& h = housing.secondCavity->hole;
        const double a = h.diameter / 2, S = pi * a * a, M = air.rho * (h.depth + 2 * 0.8217 * a) / S;
        double R;
        if (h.lossQ) {
            R = omega0() * M / *h.lossQ;
        } else {
            const Tube tube{.from = {},
                            .to = {},
                            .radius = a,
                            .slotHeight = 0,
                            .area = S,
                            .length = h.depth,
                            .ends = 2 * 0.8217 * a,
                            .count = 1,
                            .wallInertance = false,
                            .radiationFactor = 0};
            R = impedanceAt(tube, 2 * pi * frequency, air).Z.real();
        }
        acoustic("hole", "b1", "b2", R, M, 0);
    }

    void coil(const std::string& name, const std::string& from, const std::string& to)
    {
        const Driver& d = driver.driver;
        line(fmt::format("Rre{0} {1} re{0} {2:.17g}", name, from, d.Re));
        if (const auto* two = std::get_if<TwoInductor>(&d.inductance)) {
            line(fmt::format("Lle{0} re{0} le{0} {1:.17g}", name, two->Le));
            line(fmt::format("Ll2{0} le{0} {1} {2:.17g}", name, to, two->L2));
            line(fmt::format("Rr2{0} le{0} {1} {2:.17g}", name, to, two->R2));
            return;
        }
        const std::complex<double> Z = impedanceAt(d.inductance, 2 * pi * frequency).Z;
        const bool lossy = Z.real() > 1e-9;  // ngspice takes 1 mohm for a resistor near 0, so none is written then
        if (lossy) line(fmt::format("Rl{0} re{0} le{0} {1:.17g}", name, Z.real()));
        line(fmt::format("Lle{0} {1}{0} {2} {3:.17g}", name, lossy ? "le" : "re", to, Z.imag() / (2 * pi * frequency)));
    }

    // Two gyrators: coil to motion by Bl, motion to air by Sd. Loop current of the mechanical side is velocity.
    void driverAt(int i, const std::string& plus, const std::string& minus)
    {
        const Driver& d = driver.driver;
        const std::string n = fmt::format("d{}", i);
        line(fmt::format("Vi{0} {1} i{0} 0", n, plus));
        coil(n, "i" + n, "e" + n);
        line(fmt::format("H1{0} e{0} {1} Vm{0} {2:.17g}", n, minus, d.Bl));
        line(fmt::format("H2{0} f{0} 0 Vi{0} {1:.17g}", n, d.Bl));
        line(fmt::format("Vm{0} f{0} m1{0} 0", n));
        line(fmt::format("Lm{0} m1{0} m2{0} {1:.17g}", n, d.Mms));
        line(fmt::format("Rm{0} m2{0} m3{0} {1:.17g}", n, d.Rms));
        line(fmt::format("Cm{0} m3{0} m4{0} {1:.17g}", n, d.Cms));
        line(fmt::format("E1{0} m4{0} 0 0 b1 {1:.17g}", n, d.Sd));           // Sd (p_front - p_rear), front outside
        line(fmt::format("F1{0} b1 0 Vm{0} {1:.17g}", n, d.Sd / flowUnit));  // Sd v leaves the rear node
    }

    void electrical(const Feed& feed)
    {
        line("Vsource s0 0 dc 0 ac 1");
        std::string at = "s0";
        int part = 0;
        const auto next = [&](double R, double L, double C) {
            const std::string to = fmt::format("s{}", ++part);
            series(fmt::format("x{}", part), at, to, R, L, C);
            at = to;
        };
        if (feed.sourceResistance && *feed.sourceResistance > 0) next(*feed.sourceResistance, 0, 0);
        for (const SeriesPart& p : feed.seriesParts) {
            if (const auto* c = std::get_if<SeriesCapacitor>(&p.part)) next(0, 0, c->C);
            if (const auto* l = std::get_if<SeriesCoil>(&p.part)) next(l->resistance.value_or(0), l->L, 0);
            if (const auto* r = std::get_if<SeriesResistor>(&p.part)) next(r->R, 0, 0);
        }
        line(fmt::format("Vterm {} term 0", at));
        const int n = housing.driverCount.value_or(1);
        circuit.drivers = n;
        std::string plus = "term";
        for (int i = 0; i < n; ++i) {
            const bool chained = housing.wiring == Wiring::series && i + 1 < n;
            const std::string minus = chained ? fmt::format("w{}", i) : "0";
            driverAt(i, plus, minus);
            if (housing.wiring == Wiring::series) plus = minus;
        }
    }
};

}  // namespace

Circuit circuitOf(const Air& air, const CompleteDriver& driver, const Housing& housing, const Feed& feed,
                  double frequency, const std::string& analysis, const std::vector<double>& airSpeed)
{
    Writer w{air, driver, housing, frequency, airSpeed, {}};
    w.line("housing");
    w.electrical(feed);
    w.cavity("b1", housing.cavity);
    if (housing.secondCavity) w.secondCavity();
    for (int i = 0; i < int(housing.openings.size()); ++i)
        w.opening(housing.openings[i], i);
    w.line("." + analysis);
    w.line(".end");
    return std::move(w.circuit);
}

}  // namespace portwright::test
