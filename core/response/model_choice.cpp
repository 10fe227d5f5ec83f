// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/model_choice.h"

#include "core/port/port_tuning.h"
#include "core/quantity/quantity.h"
#include "core/response/curves.h"
#include "core/response/rises.h"
#include "core/response/summary.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

// |level of one - level of the other| in dB; networks that cannot be solved differ by nothing.
Eigen::ArrayXd apart(const Model& a, const Model& b, const Grid& grid)
{
    const auto p = pressureOf(a, grid), q = pressureOf(b, grid);
    if (!p || !q) return Eigen::ArrayXd::Zero(grid.size());
    return (10 / std::numbers::ln10 * (p->abs2() / q->abs2()).log()).abs();
}

Model fedBy1V(Model m)
{
    m.voltage = 1;
    m.highPass.reset();
    return m;
}

Model reckoned(const Model& model, CavityModel how)
{
    Housing housing = model.housing;
    housing.cavity.model = how;
    return fedBy1V(withHousing(model, housing));
}

std::string hertz(double f) { return formatQuantity(f, Dimension::frequency); }

std::string boxReason(const ModelChoice& c, const Cavity& cavity)
{
    std::string text = sizesKnown(roomOf(cavity))
                           ? "The cavity is reckoned as a box of the sizes given, waves along the port's axis"
                           : "The shape is not known: a compact box is assumed, waves along the port's axis. Inner "
                             "sizes, sections or a "
                             "scan would tell";
    if (c.tuningLumped && c.tuningSegmented)
        text += fmt::format(". One air spring with textbook end corrections would tune it to {}, not {}",
                            hertz(*c.tuningLumped), hertz(*c.tuningSegmented));
    return text + ".";
}

std::string reasonOf(const ModelChoice& c, const Cavity& cavity)
{
    if (!c.shapeKnown && c.used == CavityModel::segmented) return boxReason(c, cavity);
    if (!c.shapeKnown)
        return "The shape is not known, so the cavity is reckoned as one air spring. Sections or a scan would tell "
               "from "
               "where that is wrong.";
    const std::string used = fmt::format("{}the cavity is reckoned {}: ", cavity.model ? "As asked, " : "",
                                         c.used == CavityModel::lumped ? "as one air spring" : "in segments");
    std::string out = c.lumpedOutFrom
                          ? "one air spring is out by more than 1 dB from " + hertz(*c.lumpedOutFrom) + " on"
                          : "one air spring serves within 1 dB up to " + hertz(highestSegmented);
    constexpr double worthTelling = 0.01;
    if (c.tuningLumped && c.tuningSegmented && std::abs(*c.tuningLumped / *c.tuningSegmented - 1) > worthTelling)
        out += fmt::format(", and would tune it to {}, not {}", hertz(*c.tuningLumped), hertz(*c.tuningSegmented));
    if (c.used == CavityModel::lumped && c.lumpedOutFrom && *c.lumpedOutFrom >= lumpedServesTo)
        out += fmt::format("; tuning, 3\u00A0dB point, travel and port air are judged up to {}", hertz(lumpedServesTo));
    std::string sentence = used + out + ".";
    sentence[0] = sentence[0] == 't' ? 'T' : sentence[0];
    return sentence;
}

// Where the first wave stands across a cavity that is reckoned in ducts, Hz: half a wave from side to side of its box,
// 1.841 c/(2 pi R) in the widest of its round sections (first zero of J1'). 0: no ducts.
double firstAcross(const Model& m, CavityId which)
{
    const bool main = which == CavityId::main;
    const Cavity& cavity = main ? m.housing.cavity : m.housing.secondCavity->cavity;
    double widest = 0;  // m2
    for (const HousingElement& e : m.elements)
        if (const auto* duct = std::get_if<Duct>(&e.element); duct && (e.cause == Cause::secondCavity) != main)
            for (const DuctSlice& slice : duct->slices)
                widest = std::max({widest, slice.firstArea, slice.lastArea});
    if (!(widest > 0)) return 0;
    if (!cavity.measurements.empty() && shapeOf(cavity, {})) return 1.841 * m.air.c / (2 * pi * std::sqrt(widest / pi));
    std::vector<PortOpening> ports;
    for (const Opening& o : m.housing.openings)
        if (const auto* port = std::get_if<PortOpening>(&o.kind); port && (o.cavity == CavityId::second) != main)
            ports.push_back(*port);
    const PortInCavity box = portsInCavity(ports, roomOf(cavity), m.air).front();
    return m.air.c / (2 * std::max(box.width, box.breadth));
}

std::string acrossWords(const Model& m, CavityId which)
{
    const double f = firstAcross(m, which);
    if (!(f > 0)) return "";
    return fmt::format(" Waves across it are not reckoned; the first stands at {}.", hertz(roundedDown(f, 2)));
}

// Of the second cavity, where its ports are lines.
std::string secondReason(const Model& m)
{
    const bool lines = std::any_of(m.elements.begin(), m.elements.end(), [](const HousingElement& e) {
        return e.cause == Cause::secondCavity && std::holds_alternative<Duct>(e.element);
    });
    if (!lines) return "";
    const Cavity& cavity = m.housing.secondCavity->cavity;
    if (!cavity.measurements.empty() && shapeOf(cavity, {}))
        return " The second cavity is reckoned in segments of its own shape, its ports as lines." +
               acrossWords(m, CavityId::second);
    return fmt::format(" The second cavity is reckoned as a {}, its ports as lines{}.",
                       sizesKnown(roomOf(cavity)) ? "box of the sizes given" : "compact box",
                       cavity.driverAt ? "" : ", the hole in the wall opposite them") +
           acrossWords(m, CavityId::second);
}

}  // namespace

bool lumpedIsOut(const Model& lumped, const Model& segmented)
{
    constexpr int points = 60;  // 0.1 octave
    return (apart(fedBy1V(lumped), fedBy1V(segmented), logGrid(10, lumpedServesTo, points)) > lumpedMayBeOutBy).any();
}

ModelChoice modelChoice(const Model& model)
{
    ModelChoice c;
    c.used = model.cavityModel;
    const Model lumped = reckoned(model, CavityModel::lumped), segmented = reckoned(model, CavityModel::segmented);
    c.shapeKnown = !model.housing.cavity.measurements.empty() && shapeOf(model.housing.cavity, {}).has_value();
    const bool asSegments = segmented.cavityModel == CavityModel::segmented;
    if (model.kind != SystemKind::closed) c.tuningLumped = loadResonance(lumped);
    if (asSegments) {
        if (model.kind != SystemKind::closed) c.tuningSegmented = loadResonance(segmented);
        const auto out = [&](const Grid& grid) {
            return Eigen::ArrayXd(apart(lumped, segmented, grid) - lumpedMayBeOutBy);
        };
        if ((out(logGrid(10, 10, 1)) > 0).any())
            c.lumpedOutFrom = 10;
        else
            c.lumpedOutFrom = riseOf(out, Rise::first, 10, highestSegmented, 400);
    }
    c.reason = reasonOf(c, model.housing.cavity) + acrossWords(model, CavityId::main) + secondReason(model);
    return c;
}

Result<ModelChoice> modelChoice(const Project& project, std::size_t housing)
{
    const auto model = modelOf(project, housing);
    if (!model) return fail(model.error());
    return modelChoice(*model);
}

}  // namespace portwright
