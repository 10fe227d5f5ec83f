// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/model.h"

#include "core/port/classical.h"

#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

double square(double x) { return x * x; }

double complianceOf(const Cavity& cavity, const Air& air)
{
    return cavity.fillFactor.value_or(1) * cavity.netVolume / (air.rho * air.c * air.c);
}

bool inMain(const Opening& o) { return o.cavity.value_or(CavityId::main) == CavityId::main; }

// The w0 that losses given by Q refer to; see the definition in the header of the project file's description.
double referenceOmega(const Housing& housing, const Model& m)
{
    double portReciprocal = 0, radiatorMass = 0, radiatorCompliance = 0;
    for (const Opening& o : housing.openings) {
        if (!inMain(o)) continue;
        if (const auto* port = std::get_if<PortOpening>(&o.kind)) portReciprocal += 1 / portInertance(*port, m.air);
        if (const auto* p = std::get_if<PassiveRadiator>(&o.kind)) {
            radiatorMass += square(p->Sd) / p->Mmp;
            radiatorCompliance += p->Cms * square(p->Sd);
        }
    }
    if (portReciprocal > 0) return std::sqrt(portReciprocal / m.Cab);
    if (radiatorMass > 0) return std::sqrt((1 / m.Cab + 1 / radiatorCompliance) * radiatorMass);
    return 2 * pi * m.driver.fs * std::sqrt(1 + m.driverCount * Cas(m.driver.driver) / m.Cab);
}

Element portElement(const PortOpening& port, Node cavity, const Model& m)
{
    const double M = portInertance(port, m.air);
    if (port.lossQ) return Inertance{cavity, ground, M, m.omega0 * M / *port.lossQ};
    Tube tube{.from = cavity,
              .to = ground,
              .radius = radiusOf(port),
              .slotHeight = 0,
              .area = areaOf(port),
              .length = port.length,
              .ends = endCorrections(port),
              .count = countOf(port),
              .wallInertance = !port.classical,
              .radiationFactor = port.outerEnd == TubeEnd::flush ? 1.0 : 0.5};
    if (port.shape == PortShape::slot) tube.slotHeight = std::min(port.width, port.height);
    return tube;
}

// Laminar holes and slits. Hole: Poiseuille, R = 8 mu L/(pi a^4), M = 4/3 rho L/S, and a flush end correction at both
// mouths. Slit: R = 12 mu L/(w h^3), M = 6/5 rho L/(w h). Valid while the opening is thinner than about twice the
// viscous layer, some 2 mm at 50 Hz; a wider hole is a port.
Element leakElement(const LeakHole& hole, Node cavity, const Model& m)
{
    const double a = hole.diameter / 2, S = pi * a * a, n = hole.count.value_or(1);
    const double ends = 2 * endCorrectionFactor(TubeEnd::flush) * a;
    return Inertance{cavity, ground, m.air.rho * (4.0 / 3 * hole.depth + ends) / (n * S),
                     8 * m.air.mu * hole.depth / (n * pi * square(square(a)))};
}

Element leakElement(const LeakSlit& slit, Node cavity, const Model& m)
{
    return Inertance{cavity, ground, 1.2 * m.air.rho * slit.depth / (slit.width * slit.height),
                     12 * m.air.mu * slit.depth / (slit.width * slit.height * square(slit.height))};
}

Element holeElement(const Hole& hole, const Model& m)
{
    const double a = hole.diameter / 2, S = pi * a * a;
    const double ends = 2 * endCorrectionFactor(TubeEnd::flush) * a;
    const double M = m.air.rho * (hole.depth + ends) / S;
    if (hole.lossQ) return Inertance{mainCavity, secondCavityNode, M, m.omega0 * M / *hole.lossQ};
    return Tube{.from = mainCavity,
                .to = secondCavityNode,
                .radius = a,
                .slotHeight = 0,
                .area = S,
                .length = hole.depth,
                .ends = ends,
                .count = 1,
                .wallInertance = false,
                .radiationFactor = 0};
}

Compliance cavityElement(const Cavity& cavity, Node node, const Model& m)
{
    const double C = complianceOf(cavity, m.air);
    return {node, C, cavity.absorptionQ ? 1 / (m.omega0 * C * *cavity.absorptionQ) : 0};
}

HousingElement openingElement(const Opening& o, int index, const Housing& housing, const Model& m)
{
    const bool main = inMain(o);
    const Node cavity = main ? mainCavity : secondCavityNode;
    HousingElement e{.element = Compliance{},
                     .cause = main ? Cause::leakAndLining : Cause::secondCavity,
                     .opening = index,
                     .toOutside = true};
    if (const auto* leak = std::get_if<LeakByQ>(&o.kind)) {
        const double C = main ? m.Cab : complianceOf(housing.secondCavity->cavity, m.air);
        e.element = Inertance{cavity, ground, 0, leak->q / (m.omega0 * C)};
    } else if (const auto* hole = std::get_if<LeakHole>(&o.kind)) {
        e.element = leakElement(*hole, cavity, m);
    } else if (const auto* slit = std::get_if<LeakSlit>(&o.kind)) {
        e.element = leakElement(*slit, cavity, m);
    } else if (const auto* port = std::get_if<PortOpening>(&o.kind)) {
        e.element = portElement(*port, cavity, m);
        if (main) e.cause = Cause::opening;
        e.sectionOfOne = areaOf(*port);
        e.count = countOf(*port);
    } else if (const auto* p = std::get_if<PassiveRadiator>(&o.kind)) {
        e.element = Diaphragm{cavity, ground, p->Mmp / square(p->Sd), p->Cms * square(p->Sd), p->Rms / square(p->Sd)};
        if (main) e.cause = Cause::opening;
        e.sectionOfOne = p->Sd;
    }
    return e;
}

void setFeed(Model& m, const Feed& feed)
{
    m.voltage = feedVoltage(feed);
    m.sourceResistance = feed.sourceResistance.value_or(0);
    for (const SeriesPart& part : feed.seriesParts) {
        SeriesElement e;
        if (const auto* c = std::get_if<SeriesCapacitor>(&part.part)) e.C = c->C;
        if (const auto* l = std::get_if<SeriesCoil>(&part.part)) {
            e.L = l->L;
            e.R = l->resistance.value_or(0);
        }
        if (const auto* r = std::get_if<SeriesResistor>(&part.part)) e.R = r->R;
        m.seriesParts.push_back(e);
    }
    m.highPass = feed.highPass;
    if (feed.amplifier) {
        m.amplifierLimit = amplifierVoltage(*feed.amplifier);
        m.ratedImpedance = feed.amplifier->impedance;
    }
}

SystemKind kindOf(const Housing& housing)
{
    SystemKind kind = SystemKind::closed;
    for (const Opening& o : housing.openings) {
        if (std::holds_alternative<PortOpening>(o.kind)) return SystemKind::vented;
        if (std::holds_alternative<PassiveRadiator>(o.kind)) kind = SystemKind::passive;
    }
    return kind;
}

// Where the source's series chain ends: parts in order between the source and the group's terminal.
Node addChain(Network& network, const Model& m, bool lossesOnly)
{
    std::vector<SeriesElement> parts;
    if (m.sourceResistance > 0) parts.push_back({{}, {}, m.sourceResistance, 0, 0});
    for (SeriesElement part : m.seriesParts) {
        if (lossesOnly) part.L = part.C = 0;
        if (part.R > 0 || part.L > 0 || part.C > 0) parts.push_back(part);
    }
    Node at = network.addNode(parts.empty() ? "terminal" : "source");
    network.sources.push_back({at, 1.0, {}, {}});
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const Node next =
            network.addNode(i + 1 == parts.size() ? "terminal" : fmt::format("after series part {}", i + 1));
        parts[i].from = at;
        parts[i].to = next;
        network.elements.push_back(parts[i]);
        at = next;
    }
    return at;
}

void addDrivers(Assembled& a, const Model& m, Node rear, bool inductance)
{
    Driver driver = m.driver.driver;
    if (!inductance) driver.inductance = PlainInductance{};
    Node plus = a.terminal;
    for (int i = 0; i < m.driverCount; ++i) {
        const bool last = i + 1 == m.driverCount || m.wiring == Wiring::parallel;
        const Node minus = last ? ground : a.network.addNode(fmt::format("between drivers {} and {}", i + 1, i + 2));
        a.drivers.push_back(a.network.elements.size());
        a.network.elements.push_back(DriverElement{plus, minus, ground, rear, driver});
        if (m.wiring == Wiring::series) plus = minus;
    }
}

}  // namespace

Result<Model> modelOf(const Project& project, std::size_t housingIndex)
{
    const std::string at = fmt::format("/housings/{}", housingIndex);
    if (housingIndex >= project.housings.size())
        return fail(at,
                    fmt::format("there is no housing {}, the project has {}", housingIndex, project.housings.size()));
    const Housing& housing = project.housings[housingIndex];
    const DriverSheet* sheet = findDriver(project, housing.driver);
    if (!sheet) return fail(at + "/driver", "there is no driver \"" + housing.driver + "\" in this project");
    const auto air = airAt(project.air.value_or(AirConditions{}));
    if (!air) return fail("/air/" + air.error().field, air.error().message);
    auto driver = complete(*sheet);
    if (!driver)
        return fail(fmt::format("/drivers/{}/{}", sheet - project.drivers.data(), driver.error().field),
                    driver.error().message);
    if (!(housing.cavity.netVolume > 0))
        return fail(at + "/cavity/net_volume_l",
                    fmt::format("net_volume_l is {:g}; a volume must be above 0", housing.cavity.netVolume * 1e3));
    for (std::size_t i = 0; i < housing.openings.size(); ++i)
        if (!inMain(housing.openings[i]) && !housing.secondCavity)
            return fail(fmt::format("{}/openings/{}/cavity", at, i),
                        "the opening is in the second cavity, but the housing has none");

    return modelFrom(*air, std::move(*driver), housing, feedOf(project, housing), project.place.value_or(Place{}),
                     portAirLimit(project));
}

Model modelFrom(const Air& air, CompleteDriver driver, const Housing& housing, const Feed& feed, const Place& place,
                double portAirLimit)
{
    Model m;
    m.air = air;
    m.driver = std::move(driver);
    setFeed(m, feed);
    m.distance = distanceOf(place);
    m.solidAngle = solidAngleOf(place);
    m.portAirLimit = portAirLimit;
    return withHousing(std::move(m), housing);
}

Model withHousing(Model m, const Housing& housing)
{
    m.driverCount = housing.driverCount.value_or(1);
    m.wiring = housing.wiring.value_or(Wiring::parallel);
    m.kind = kindOf(housing);
    m.Cab = complianceOf(housing.cavity, m.air);
    m.omega0 = referenceOmega(housing, m);
    m.elements.clear();
    m.elements.push_back({.element = cavityElement(housing.cavity, mainCavity, m), .cause = Cause::airSpring});
    for (int i = 0; i < int(housing.openings.size()); ++i)
        m.elements.push_back(openingElement(housing.openings[i], i, housing, m));
    if (housing.secondCavity) {
        m.elements.push_back({.element = cavityElement(housing.secondCavity->cavity, secondCavityNode, m),
                              .cause = Cause::secondCavity});
        m.elements.push_back({.element = holeElement(housing.secondCavity->hole, m), .cause = Cause::secondCavity});
    }
    m.housing = housing;
    return m;
}

double groupResistance(const Model& model)
{
    const double Re = model.driver.driver.Re;
    return model.wiring == Wiring::series ? Re * model.driverCount : Re / model.driverCount;
}

Assembled assemble(const Model& model, const AssembleOptions& options)
{
    const auto in = [&](Cause cause) { return int(cause) < options.causes; };
    Assembled a;
    if (in(Cause::sourceAndSeries)) {
        a.terminal = addChain(a.network, model, options.lossesOnly);
    } else {
        a.terminal = a.network.addNode("terminal");
        a.network.sources.push_back({a.terminal, 1.0, {}, {}});
    }
    Node cavities[2] = {ground, ground};
    if (in(Cause::airSpring)) cavities[0] = a.network.addNode("main cavity");
    if (in(Cause::secondCavity) && model.housing.secondCavity) cavities[1] = a.network.addNode("second cavity");
    addDrivers(a, model, cavities[0], in(Cause::inductance) && !options.lossesOnly);

    const auto placed = [&](Node n) { return n.index < 0 ? ground : cavities[n.index]; };
    for (std::size_t i = 0; i < model.elements.size(); ++i) {
        if (!in(model.elements[i].cause)) continue;
        Element element = model.elements[i].element;
        std::visit(
            [&](auto& e) {
                if constexpr (requires { e.from; }) {
                    e.from = placed(e.from);
                    e.to = placed(e.to);
                } else if constexpr (requires { e.node; }) {
                    e.node = placed(e.node);
                    if (!in(Cause::leakAndLining)) e.R = 0;
                }
            },
            element);
        a.elements.push_back({a.network.elements.size(), i});
        a.network.elements.push_back(element);
    }
    return a;
}

FilterAt feedFactor(const Model& model, double omega, const AssembleOptions& options)
{
    if (!model.highPass || options.lossesOnly || int(Cause::highPass) >= options.causes) return {model.voltage, 0};
    const FilterAt filter = highPassAt(*model.highPass, omega);
    return {model.voltage * filter.H, model.voltage * filter.dH};
}

}  // namespace portwright
