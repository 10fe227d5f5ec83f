// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/remedies.h"

#include "core/cavity/net_volume.h"
#include "core/port/classical.h"
#include "core/port/free_run.h"

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

std::optional<double> peakAir(const Model& model, int opening)
{
    const auto curves = curvesOf(model, logGrid(20, 2000, 200));
    if (!curves) return std::nullopt;
    for (std::size_t i = 0; i < curves->portOpening.size(); ++i)
        if (curves->portOpening[i] == opening) return curves->portAir[i].maxCoeff();
    return std::nullopt;
}

// A wider tube that takes more than this of the cavity would no longer keep the tuning, which is reckoned with the net
// volume as it stands.
constexpr double largestShare = 0.1;

Feed& feedInForce(Project& project, std::size_t housingIndex)
{
    Housing& housing = project.housings[housingIndex];
    if (housing.feed) return *housing.feed;
    if (!project.feed) project.feed = Feed{};
    return *project.feed;
}

// Length of a wider tube that keeps the tuning, m; below 0 or above 3 where none does. By textbook sums the same mass;
// else the same tuning of port and cavity alone, the net volume as it stands.
double lengthKeepingTuning(const Model& model, int opening, const PortOpening& port, PortOpening wider)
{
    const bool asLine = std::any_of(model.elements.begin(), model.elements.end(), [&](const HousingElement& e) {
        return e.opening == opening && std::holds_alternative<PortLine>(e.element);
    });
    if (!asLine)
        return portInertance(port, model.air) * countOf(wider) * areaOf(wider) / model.air.rho - endCorrections(wider);
    const CavityRoom room = roomOf(cavityOf(model.housing, opening));
    const double wanted = tuningOf(portInCavity(port, room, model.air));
    const auto over = [&](double length) {
        return tuningOf(portInCavity(cutTo(wider, length), room, model.air)) / wanted - 1;
    };
    constexpr double longest = 3;
    double low = 0, high = longest;
    if (over(low) < 0) return -1;
    if (over(high) > 0) return 2 * longest;
    for (int i = 0; i < 16; ++i) {  // to 0.05 mm
        const double middle = (low + high) / 2;
        (over(middle) > 0 ? low : high) = middle;
    }
    return high;
}

}  // namespace

PortOpening resized(PortOpening port, const SetPort& wider)
{
    (port.shape == PortShape::round ? port.diameter : port.height) = wider.bore;
    return cutTo(std::move(port), wider.length);
}

double moreTaken(const PortOpening& port, const SetPort& wider)
{
    return outlineVolume(resized(port, wider)) - outlineVolume(port);
}

WiderPort widerPort(const Model& model, int opening)
{
    const auto* port = std::get_if<PortOpening>(&model.housing.openings[opening].kind);
    if (!port) return {};
    const bool round = port->shape == PortShape::round;
    const auto tried = [&](double bore) {
        PortOpening wider = *port;
        (round ? wider.diameter : wider.height) = bore;
        const double length = lengthKeepingTuning(model, opening, *port, wider);
        return cutTo(wider, std::ceil(length * 1e3 - 1e-9) / 1e3);
    };
    const int now = int(std::floor((round ? port->diameter : port->height) * 1e3 + 1e-9));
    const auto holds = [&](int millimetres) {
        const PortOpening wider = tried(millimetres / 1e3);
        if (wider.length < 0 || wider.length > 3) return false;
        Housing changed = model.housing;
        changed.openings[opening].kind = wider;
        const auto peak = peakAir(withHousing(model, changed), opening);
        return peak && *peak <= 0.995 * model.portAirLimit;  // margin for the coarse grid
    };
    // With the same mass the same volume moves, so the area must grow as the speed is over; computed losses change that
    // a little, which a few whole millimetres up or down settle.
    const auto peak = peakAir(model, opening);
    if (!peak || !std::isfinite(*peak)) return {};
    const double over = *peak / model.portAirLimit;
    constexpr int widest = 500;
    int bore = std::max(now + 1, int(std::min(std::ceil(now * (round ? std::sqrt(over) : over)), widest + 1.0)));
    while (bore <= widest && !holds(bore))
        bore += 1 + bore / 100;
    if (bore > widest) return {};
    while (bore - 1 > now && holds(bore - 1))
        --bore;
    const PortOpening wider = tried(bore / 1e3);
    const SetPort found{opening, bore / 1e3, wider.length};
    const Cavity& cavity = cavityOf(model.housing, opening);
    CavityRoom room = roomOf(cavity);
    if (!cavity.measurements.empty() && profileOf(cavity)) room = {.netVolume = room.netVolume};
    room.netVolume -= outlineVolume(wider) - outlineVolume(*port);
    if (auto why = whyImpossible(wider, room)) return {WiderPort::Found::noRoom, found, std::move(*why)};
    if (auto run = whyNotInRun(wider, cavity); run && !(run->tight && whyNotInRun(*port, cavity)))
        return {WiderPort::Found::noRoom, found, std::move(run->words)};
    if (moreTaken(*port, found) > largestShare * cavity.netVolume) return {WiderPort::Found::takesMuch, found, {}};
    return {WiderPort::Found::fits, found, {}};
}

Project applied(Project project, std::size_t housingIndex, const Remedy& remedy)
{
    if (const auto* filter = std::get_if<SetHighPass>(&remedy)) {
        Feed& feed = feedInForce(project, housingIndex);
        HighPass changed = feed.highPass.value_or(HighPass{});
        changed.order = filter->order;
        changed.corner = filter->corner;
        feed.highPass = changed;
    } else if (const auto* wider = std::get_if<SetPort>(&remedy)) {
        if (auto* port = std::get_if<PortOpening>(&project.housings[housingIndex].openings[wider->opening].kind))
            *port = resized(*port, *wider);
    } else if (const auto* lower = std::get_if<SetVoltage>(&remedy)) {
        Feed& feed = feedInForce(project, housingIndex);
        feed.voltage = lower->voltage;
        feed.power.reset();
        feed.into.reset();
    }
    return project;
}

}  // namespace portwright
