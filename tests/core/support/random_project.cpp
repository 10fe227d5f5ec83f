// SPDX-License-Identifier: GPL-3.0-or-later
#include "random_project.h"

#include <cmath>
#include <rapidcheck.h>

namespace portwright::test {

Air roundAir()
{
    Air air = referenceAir();
    air.rho = 1.2;
    air.c = 343;
    return air;
}

Driver referenceDriver(double Le)
{
    return {.Re = 3.6,
            .Bl = 6.5,
            .Mms = 0.0155,
            .Cms = 0.55e-3,
            .Rms = 1.2,
            .Sd = 0.0133,
            .inductance = PlainInductance{Le}};
}

CompleteDriver completed(const Driver& d)
{
    CompleteDriver c;
    c.driver = d;
    c.fs = fs(d);
    c.Qes = Qes(d);
    c.Qms = Qms(d);
    c.Qts = Qts(d);
    c.Vas = Vas(d, referenceAir());
    return c;
}

Housing closedHousing(double volume)
{
    Housing h;
    h.id = "box";
    h.cavity.netVolume = volume;
    return h;
}

Model modelOfReference(const Housing& housing, double voltage, double Le)
{
    Feed feed;
    feed.voltage = voltage;
    return modelFrom(roundAir(), completed(referenceDriver(Le)), housing, feed, Place{});
}

double logUniform(double low, double high) { return low * std::pow(high / low, *rc::gen::inRange(0, 1000001) / 1e6); }

bool coin() { return *rc::gen::inRange(0, 2) == 1; }

Driver arbitraryDriver()
{
    Driver d;
    const double f = logUniform(30, 200), Qe = logUniform(0.2, 2), Qm = logUniform(1, 10);
    d.Re = logUniform(1.5, 8);
    d.Sd = logUniform(50e-4, 500e-4);
    d.Mms = logUniform(4e-3, 80e-3);
    const double w = 2 * pi * f;
    d.Cms = 1 / (w * w * d.Mms);
    d.Rms = w * d.Mms / Qm;
    d.Bl = std::sqrt(w * d.Mms * d.Re / Qe);
    switch (*rc::gen::inRange(0, 3)) {
    case 0:
        d.inductance = PlainInductance{logUniform(0.05e-3, 1e-3)};
        break;
    case 1:
        d.inductance = TwoInductor{logUniform(0.05e-3, 1e-3), logUniform(0.05e-3, 1e-3), logUniform(0.5, 20)};
        break;
    default:
        d.inductance = SemiInductance{logUniform(0.003, 0.05), 0.5 + *rc::gen::inRange(0, 6) / 10.0};
    }
    return d;
}

namespace {

PortOpening arbitraryPort(bool computedLosses)
{
    PortOpening p;
    if (coin()) {
        p.diameter = logUniform(0.02, 0.12);
    } else {
        p.shape = PortShape::slot;
        p.width = logUniform(0.03, 0.2);
        p.height = logUniform(0.01, 0.05);
    }
    p.count = *rc::gen::inRange(1, 4);
    p.length = logUniform(0.01, 0.4);
    p.innerEnd = coin() ? TubeEnd::free : TubeEnd::flush;
    p.outerEnd = coin() ? TubeEnd::free : TubeEnd::flush;
    p.classical = !computedLosses || coin();
    if (!computedLosses) p.lossQ = logUniform(5, 300);
    return p;
}

Opening arbitraryOpening(bool second, bool computedLosses)
{
    Opening o;
    if (second && coin()) o.cavity = CavityId::second;
    switch (*rc::gen::inRange(0, 5)) {
    case 0:
        o.kind = LeakByQ{logUniform(2, 50)};
        break;
    case 1:
        o.kind = LeakHole{logUniform(1e-3, 5e-3), logUniform(1e-3, 10e-3), *rc::gen::inRange(1, 5)};
        break;
    case 2:
        o.kind = LeakSlit{logUniform(0.02, 0.3), logUniform(0.1e-3, 1e-3), logUniform(2e-3, 10e-3)};
        break;
    case 3:
        o.kind = arbitraryPort(computedLosses);
        break;
    default:
        o.kind = PassiveRadiator{logUniform(50e-4, 300e-4), logUniform(20e-3, 200e-3), logUniform(0.2e-3, 2e-3),
                                 logUniform(0.3, 3)};
    }
    return o;
}

// Two to five round sections over 5 cm to 90 cm, scaled to the housing's volume by the program.
void giveShape(Housing& h)
{
    SectionsMeasurement sections;
    double at = 0;
    for (int n = *rc::gen::inRange(2, 6); n > 0; --n) {
        const double width = logUniform(0.06, 0.3);
        sections.sections.push_back(
            {.at = at, .shape = SectionShape::ellipse, .width = width, .height = width, .unknown = {}});
        at += logUniform(0.03, 0.2);
    }
    const double length = sections.sections.back().at;
    h.cavity.measurements.push_back({sections, {}, {}, false, {}});
    h.cavity.model = CavityModel::segmented;
    if (coin()) h.cavity.driverAt = length * *rc::gen::inRange(0, 101) / 100.0;
    for (Opening& o : h.openings)
        if (auto* port = std::get_if<PortOpening>(&o.kind); port && coin())
            port->at = length * *rc::gen::inRange(0, 101) / 100.0;
}

}  // namespace

Housing arbitraryHousing(const HousingChoice& choice)
{
    Housing h = closedHousing(logUniform(0.5e-3, 60e-3));
    h.driverCount = *rc::gen::inRange(1, 4);
    h.wiring = coin() ? Wiring::parallel : Wiring::series;
    if (coin()) h.cavity.fillFactor = logUniform(1, 1.4);
    if (coin()) h.cavity.absorptionQ = logUniform(5, 200);
    if (choice.secondCavity && coin()) {
        SecondCavity second;
        second.cavity.netVolume = logUniform(0.5e-3, 30e-3);
        if (coin()) second.cavity.absorptionQ = logUniform(5, 200);
        second.hole = {logUniform(0.01, 0.06), logUniform(0.002, 0.03), {}, {}};
        if (!choice.computedLosses) second.hole.lossQ = logUniform(5, 300);
        h.secondCavity = second;
    }
    if (choice.openings)
        for (int n = *rc::gen::inRange(0, 4); n > 0; --n)
            h.openings.push_back(arbitraryOpening(h.secondCavity.has_value(), choice.computedLosses));
    if (choice.shaped) giveShape(h);
    return h;
}

Feed arbitraryFeed()
{
    Feed feed;
    feed.voltage = logUniform(0.5, 40);
    if (coin()) feed.sourceResistance = logUniform(0.02, 1);
    if (coin()) feed.seriesParts.push_back({SeriesCapacitor{logUniform(50e-6, 1000e-6)}, {}});
    if (coin()) feed.seriesParts.push_back({SeriesCoil{logUniform(0.1e-3, 3e-3), logUniform(0.05, 0.5)}, {}});
    if (coin()) feed.seriesParts.push_back({SeriesResistor{logUniform(0.1, 4)}, {}});
    if (coin()) feed.highPass = HighPass{*rc::gen::inRange(1, 9), logUniform(20, 200), {}};
    return feed;
}

}  // namespace portwright::test
