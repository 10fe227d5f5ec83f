// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/model.h"

#include "core/cavity/net_volume.h"
#include "core/cavity/shape.h"
#include "core/network/separation.h"
#include "core/port/classical.h"
#include "core/port/port_tuning.h"
#include "core/port/separation.h"
#include "core/response/model_choice.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

double square(double x) { return x * x; }

double complianceOf(const Cavity& cavity, const Air& air)
{
    return cavity.fillFactor.value_or(1) * cavity.netVolume / (air.rho * air.c * air.c);
}

CavityId cavityOf(const Opening& o) { return o.cavity.value_or(CavityId::main); }
bool inMain(const Opening& o) { return cavityOf(o) == CavityId::main; }
const Cavity& cavityOf(const Housing& housing, CavityId which)
{
    return which == CavityId::main ? housing.cavity : housing.secondCavity->cavity;
}

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

// A port as a line between its places inside and outside.
PortLine portLine(const PortOpening& port, double length, const InnerEnd& inner, const OuterEnd& outer, Node cavity,
                  const Model& m)
{
    PortLine line;
    line.from = cavity;
    line.radius = radiusOf(port);
    if (port.shape == PortShape::slot) line.slotHeight = std::min(port.width, port.height);
    line.area = areaOf(port);
    line.length = length;
    line.count = countOf(port);
    line.inner = inner;
    line.outer = outer;
    // of one tube: all of them together have w0 Map/Q
    if (port.lossQ) line.givenLoss = line.count * m.omega0 * portInertance(port, m.air) / *port.lossQ;
    return line;
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
        e.separation = separationFactor(separationOf(*port), e.sectionOfOne, e.count, m.air);
    } else if (const auto* p = std::get_if<PassiveRadiator>(&o.kind)) {
        e.element = Diaphragm{cavity, ground, p->Mmp / square(p->Sd), p->Cms * square(p->Sd), p->Rms / square(p->Sd)};
        if (main) e.cause = Cause::opening;
        e.sectionOfOne = p->Sd;
    }
    return e;
}

std::vector<PortOpening> portsOf(const Housing& housing, CavityId which)
{
    std::vector<PortOpening> ports;
    for (const Opening& o : housing.openings)
        if (const auto* port = std::get_if<PortOpening>(&o.kind); port && cavityOf(o) == which) ports.push_back(*port);
    return ports;
}

// The ends of a port are known only with the waves around it.
bool wantLines(const std::vector<PortOpening>& ports)
{
    return std::any_of(ports.begin(), ports.end(), [](const PortOpening& p) { return !p.classical; });
}

// Where its air comes in: from the drivers, or through the hole from the main cavity. Unless it has a place the hole is
// in the wall opposite the ports of a box, at the first end of a known shape, whose ports are at its last: the hole is
// in the partition between two chambers, the port in an outer wall. Beside the port instead it would tune a compact box
// higher by 1 % with a bore of a fifth of the section's width, by 4 % with one of two fifths.
double entryPlace(const Model& m, CavityId which, const Shape& shape, bool box)
{
    if (which == CavityId::main) return driverPlace(m.housing.cavity, shape, m.driverCount * m.driver.driver.Sd);
    const SecondCavity& second = *m.housing.secondCavity;
    if (box && !second.cavity.driverAt) return shape.length();
    return driverPlace(second.cavity, shape, pi * square(second.hole.diameter / 2));
}

// A cavity as ducts between the places where its air comes in and those of its ports.
struct Segments {
    Model& m;
    const Shape& shape;
    CavityId which;
    std::vector<std::pair<double, Node>> stations;  // place and node, rising

    Node nodeAt(double place, const std::string& name)
    {
        constexpr double together = 1e-6;  // m
        for (const auto& [at, node] : stations)
            if (std::abs(at - place) < together) return node;
        const Node node{firstStation + int(m.stations.size())};
        m.stations.push_back(name);
        stations.emplace_back(place, node);
        return node;
    }

    void addDuct(double from, double to, Node first, Node last, bool closed)
    {
        if (to - from < 1e-6) return;
        const Cavity& cavity = cavityOf(m.housing, which);
        Duct duct;
        duct.from = first, duct.to = last, duct.closed = closed;
        duct.slices = slicesBetween(shape, from, to);
        duct.fill = cavity.fillFactor.value_or(1);
        if (cavity.absorptionQ) duct.absorption = 1 / (m.omega0 * *cavity.absorptionQ);
        if (closed && from < stations.front().first) turn(duct);
        m.elements.push_back(
            {.element = std::move(duct), .cause = which == CavityId::main ? Cause::airSpring : Cause::secondCavity});
    }

    // Seen from its other end.
    static void turn(Duct& duct)
    {
        std::reverse(duct.slices.begin(), duct.slices.end());
        for (DuctSlice& s : duct.slices)
            std::swap(s.firstArea, s.lastArea);
    }

    void addAir()
    {
        std::sort(stations.begin(), stations.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
        addDuct(0, stations.front().first, stations.front().second, ground, true);
        for (std::size_t i = 1; i < stations.size(); ++i)
            addDuct(stations[i - 1].first, stations[i].first, stations[i - 1].second, stations[i].second, false);
        addDuct(stations.back().first, shape.length(), stations.back().second, ground, true);
    }
};

// Calls `take(element, port)` for each port of a cavity.
template <class Take> void forPorts(Model& m, CavityId which, const Take& take)
{
    for (HousingElement& e : m.elements) {
        if (e.opening < 0 || cavityOf(m.housing.openings[e.opening]) != which) continue;
        if (const auto* port = std::get_if<PortOpening>(&m.housing.openings[e.opening].kind)) take(e, *port);
    }
}

std::string nameAtPort(const HousingElement& e, CavityId which)
{
    return fmt::format("{} cavity at port {}", which == CavityId::main ? "main" : "second", e.opening + 1);
}

// The lumped spring goes; leaks, radiators and the hole between the cavities stay where the air comes in.
Segments beginSegments(Model& m, const Shape& shape, CavityId which, bool box)
{
    const Node entry = which == CavityId::main ? mainCavity : secondCavityNode;
    std::erase_if(m.elements, [&](const HousingElement& e) {
        const auto* spring = std::get_if<Compliance>(&e.element);
        return spring && spring->node == entry;
    });
    if (which == CavityId::main) m.cavityModel = CavityModel::segmented;
    return {m, shape, which, {{entryPlace(m, which, shape, box), entry}}};
}

// Replaces the spring and the ports of a cavity. Classical ports keep their inertance.
void segment(Model& m, const Shape& shape, CavityId which)
{
    Segments s = beginSegments(m, shape, which, false);
    forPorts(m, which, [&](HousingElement& e, const PortOpening& port) {
        const PortPlace place = portPlace(port, shape);
        const Node node = s.nodeAt(place.at, nameAtPort(e, which));
        if (port.classical)
            e.element = portElement(port, node, m);
        else
            e.element = portLine(port, straightLength(port), innerEndOf(port, place, shape), outerEndOf(port), node, m);
    });
    s.addAir();
}

// A cavity of no known shape is taken for a box, its ports in the wall at 0, the drivers beside them unless they have
// a place.
void segmentBox(Model& m, const std::vector<PortOpening>& ports, CavityId which)
{
    const std::vector<PortInCavity> lines = portsInCavity(ports, roomOf(cavityOf(m.housing, which)), m.air);
    const PortInCavity& first = lines.front();
    const double length = first.d + first.P, around = 2 * (first.width + first.breadth);
    Shape shape{{{0, length}, {first.A, first.A}, {around, around}}, {}};
    for (std::size_t i = 0; i < lines.size(); ++i)
        if (lines[i].P > 0)
            shape.tubes.push_back(
                {0, lines[i].P, lines.size() == 1 ? first.A - first.A1 : countOf(ports[i]) * outlineArea(ports[i])});
    Segments s = beginSegments(m, shape, which, true);
    std::size_t i = 0;
    forPorts(m, which, [&](HousingElement& e, const PortOpening& port) {
        const PortInCavity& line = lines[i++];
        const Node node = s.nodeAt(std::min(line.P, length), nameAtPort(e, which));
        e.element =
            port.classical ? portElement(port, node, m) : portLine(port, line.length, line.inner, line.outer, node, m);
    });
    s.addAir();
}

// Ports of the second cavity that are not classical stand in its shape, or in a box, as those of the main one do.
void segmentSecond(Model& m)
{
    if (!m.housing.secondCavity) return;
    const Cavity& cavity = m.housing.secondCavity->cavity;
    const std::vector<PortOpening> ports = portsOf(m.housing, CavityId::second);
    if (cavity.model == CavityModel::lumped || !wantLines(ports)) return;
    const auto shape = cavity.measurements.empty() ? std::nullopt : shapeOf(cavity, ports);
    if (shape)
        segment(m, *shape, CavityId::second);
    else
        segmentBox(m, ports, CavityId::second);
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

// The element with the model's nodes replaced by the network's.
Element placed(Element element, const std::vector<Node>& nodes)
{
    const auto at = [&](Node n) { return n.index < 0 ? ground : nodes[n.index]; };
    std::visit(
        [&](auto& e) {
            if constexpr (requires { e.from; }) {
                e.from = at(e.from);
                e.to = at(e.to);
            } else if constexpr (requires { e.node; }) {
                e.node = at(e.node);
            }
        },
        element);
    return element;
}

// What brings a station in: the ducts that meet there.
Cause stationCause(const Model& model, int node)
{
    for (const HousingElement& e : model.elements)
        if (const auto* duct = std::get_if<Duct>(&e.element))
            if (duct->from.index == node || (!duct->closed && duct->to.index == node)) return e.cause;
    return Cause::airSpring;
}

void removeLining(Element& element)
{
    if (auto* spring = std::get_if<Compliance>(&element)) spring->R = 0;
    if (auto* duct = std::get_if<Duct>(&element)) duct->absorption = 0;
}

// Places along the axis must lie on it; where the shape is not known or not used they mean nothing.
Result<void> checkPlaces(const Housing& housing, CavityId which, const std::string& at)
{
    const Cavity& cavity = cavityOf(housing, which);
    const bool main = which == CavityId::main;
    if (cavity.model == CavityModel::lumped || (!main && !wantLines(portsOf(housing, which)))) return {};
    const auto shape = cavity.measurements.empty() ? std::nullopt : shapeOf(cavity, {});
    if (!shape && !cavity.depth) return {};
    const double length = shape ? shape->length() : *cavity.depth;
    const auto check = [&](std::optional<double> place, const std::string& field, const char* what) -> Result<void> {
        constexpr double slack = 1e-6;  // m, of adding up millimetres
        if (!place || (*place >= 0 && *place <= length + slack)) return {};
        return fail(at + field,
                    fmt::format("the {} is at {:g} mm, but the {}cavity{} runs from 0 to {:g} mm", what, *place * 1e3,
                                main ? "" : "second ", shape ? "'s shape" : "", length * 1e3));
    };
    const char* field = main ? "/cavity/driver_at_mm" : "/second_cavity/driver_at_mm";
    if (auto ok = check(cavity.driverAt, field, main ? "driver" : "hole"); !ok) return ok;
    if (!shape) return {};  // in a box the ports are at 0
    for (std::size_t i = 0; i < housing.openings.size(); ++i)
        if (const auto* port = std::get_if<PortOpening>(&housing.openings[i].kind);
            port && cavityOf(housing.openings[i]) == which)
            if (auto ok = check(port->at, fmt::format("/openings/{}/at_mm", i), "port"); !ok) return ok;
    return {};
}

// Ports that cannot be built have no tuning. A classical one is what its sums say.
Result<void> checkPorts(const Housing& housing, const std::string& at)
{
    for (std::size_t i = 0; i < housing.openings.size(); ++i) {
        const auto* port = std::get_if<PortOpening>(&housing.openings[i].kind);
        if (!port || port->classical) continue;
        const Cavity& cavity = cavityOf(housing, cavityOf(housing.openings[i]));
        CavityRoom room = roomOf(cavity);
        if (!cavity.measurements.empty() && profileOf(cavity)) room = {.netVolume = room.netVolume};
        if (const auto why = whyImpossible(*port, room)) return fail(fmt::format("{}/openings/{}", at, i), *why);
    }
    return {};
}

}  // namespace

Result<Model> modelOf(const Project& project, std::size_t housingIndex)
{
    const std::string at = fmt::format("/housings/{}", housingIndex);
    if (housingIndex >= project.housings.size())
        return fail(at,
                    fmt::format("there is no housing {}, the project has {}", housingIndex, project.housings.size()));
    const Housing& given = project.housings[housingIndex];
    const DriverSheet* sheet = findDriver(project, given.driver);
    if (!sheet) return fail(at + "/driver", "there is no driver \"" + given.driver + "\" in this project");
    const auto air = airAt(project.air.value_or(AirConditions{}));
    if (!air) return fail("/air/" + air.error().field, air.error().message);
    auto driver = complete(*sheet);
    if (!driver)
        return fail(fmt::format("/drivers/{}/{}", sheet - project.drivers.data(), driver.error().field),
                    driver.error().message);
    const auto resolved = resolvedHousing(given, *driver, *air);
    if (!resolved) return fail(at + "/" + resolved.error().field, resolved.error().message);
    const Housing& housing = *resolved;
    if (!(housing.cavity.netVolume > 0))
        return fail(at + "/cavity/net_volume_l",
                    fmt::format("net_volume_l is {:g}; a volume must be above 0", housing.cavity.netVolume * 1e3));
    for (std::size_t i = 0; i < housing.openings.size(); ++i)
        if (!inMain(housing.openings[i]) && !housing.secondCavity)
            return fail(fmt::format("{}/openings/{}/cavity", at, i),
                        "the opening is in the second cavity, but the housing has none");
    for (const CavityId which : {CavityId::main, CavityId::second})
        if (which == CavityId::main || housing.secondCavity)
            if (auto places = checkPlaces(housing, which, at); !places) return fail(places.error());
    if (auto ports = checkPorts(housing, at); !ports) return fail(ports.error());

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
    const bool sameCavity = !m.elements.empty() && m.housing.cavity == housing.cavity;
    m.driverCount = housing.driverCount.value_or(1);
    m.wiring = housing.wiring.value_or(Wiring::parallel);
    m.kind = kindOf(housing);
    m.Cab = complianceOf(housing.cavity, m.air);
    m.omega0 = referenceOmega(housing, m);
    const CavityModel before = m.cavityModel;
    m.cavityModel = CavityModel::lumped;
    m.stations.clear();
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
    segmentSecond(m);
    if (housing.cavity.model == CavityModel::lumped) return m;
    const std::vector<PortOpening> ports = portsOf(housing, CavityId::main);
    const bool asLines = wantLines(ports);
    // A search changes an opening many times in the same cavity: its model is chosen once.
    const bool asBefore = sameCavity && !housing.cavity.model && !asLines;
    if (asBefore && before == CavityModel::lumped) return m;
    const auto shape = housing.cavity.measurements.empty() ? std::nullopt : shapeOf(housing.cavity, ports);
    if (!shape) {
        if (asLines) segmentBox(m, ports, CavityId::main);
        return m;
    }
    Model segmented = m;
    segment(segmented, *shape, CavityId::main);
    return housing.cavity.model || asLines || asBefore || lumpedIsOut(m, segmented) ? segmented : m;
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
    std::vector<Node> nodes(firstStation + model.stations.size(), ground);
    if (in(Cause::airSpring)) nodes[mainCavity.index] = a.network.addNode("main cavity");
    for (std::size_t i = 0; i < model.stations.size(); ++i)
        if (in(stationCause(model, firstStation + int(i))))
            nodes[firstStation + i] = a.network.addNode(model.stations[i]);
    if (in(Cause::secondCavity) && model.housing.secondCavity)
        nodes[secondCavityNode.index] = a.network.addNode("second cavity");
    addDrivers(a, model, nodes[mainCavity.index], in(Cause::inductance) && !options.lossesOnly);

    for (std::size_t i = 0; i < model.elements.size(); ++i) {
        if (!in(model.elements[i].cause)) continue;
        a.elements.push_back({a.network.elements.size(), i});
        a.network.elements.push_back(placed(model.elements[i].element, nodes));
        if (!in(Cause::leakAndLining)) removeLining(a.network.elements.back());
    }
    return a;
}

Network airOf(const Model& model)
{
    Network air;
    std::vector<Node> nodes(firstStation + model.stations.size(), ground);
    nodes[mainCavity.index] = air.addNode("main cavity");
    if (model.housing.secondCavity) nodes[secondCavityNode.index] = air.addNode("second cavity");
    for (std::size_t i = 0; i < model.stations.size(); ++i)
        nodes[firstStation + i] = air.addNode(model.stations[i]);
    air.sources.push_back({nodes[mainCavity.index], 1.0, {}, {}});
    for (const HousingElement& e : model.elements)
        air.elements.push_back(placed(e.element, nodes));
    return air;
}

FilterAt feedFactor(const Model& model, double omega, const AssembleOptions& options)
{
    if (!model.highPass || options.lossesOnly || int(Cause::highPass) >= options.causes) return {model.voltage, 0};
    const FilterAt filter = highPassAt(*model.highPass, omega);
    return {model.voltage * filter.H, model.voltage * filter.dH};
}

}  // namespace portwright
