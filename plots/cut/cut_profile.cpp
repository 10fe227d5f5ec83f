// SPDX-License-Identifier: GPL-3.0-or-later
// The cut of a cavity whose shape was measured: a body of revolution with its section areas, driver and ports in place.
#include "plots/cut/cut_parts.h"

#include <QTransform>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

namespace portwright {
namespace {

/// Half widths along the axis, mm, from 0; they run straight between the positions as the profile's roots do.
struct Body {
    std::vector<double> at, half;
    double length() const { return at.back(); }
    double halfAt(double place) const
    {
        const auto above = std::upper_bound(at.begin() + 1, at.end() - 1, place);
        const auto k = std::size_t(above - at.begin());
        const double t = std::clamp((place - at[k - 1]) / (at[k] - at[k - 1]), 0.0, 1.0);
        return half[k - 1] + t * (half[k] - half[k - 1]);
    }
};

/// Scaled so that the whole holds this volume [mm3]: lengths along the axis stay, widths give way.
Body bodyOf(const Profile& profile, double volume)
{
    Body body;
    for (std::size_t i = 0; i < profile.at.size(); ++i) {
        body.at.push_back(1e3 * (profile.at[i] - profile.at.front()));
        body.half.push_back(1e3 * std::sqrt(profile.area[i] / std::numbers::pi));
    }
    QPolygonF halves;
    for (std::size_t i = 0; i < body.at.size(); ++i)
        halves << QPointF(body.at[i], body.half[i]);
    const double scale = std::sqrt(volume / revolvedVolume(halves));
    for (double& half : body.half)
        half *= scale;
    return body;
}

enum class Side { first, last, preferred, other };  // of the body: its ends, and the two walls along it

/// Where things are put on the paper: the axis upright when the driver looks along it, else lying.
struct Bench {
    Body body;
    bool lying = false, turned = false;  // turned: the last end is on top
    double widest = 0;
    std::array<std::vector<std::pair<double, double>>, 4> taken;  // spans along each side

    double axis(double place) const { return turned ? body.length() - place : place; }
    QPointF onAxis(double place) const { return lying ? QPointF(place, widest) : QPointF(0, axis(place)); }
    QPointF across() const { return lying ? QPointF(0, -1) : QPointF(1, 0); }  // towards the preferred wall
    QPolygonF outline() const;
    CutPlace placeOn(Side side, double along) const;
    bool isFree(Side side, double from, double to) const
    {
        const auto& spans = taken[std::size_t(side)];
        return std::none_of(spans.begin(), spans.end(), [=](const auto& s) { return from < s.second && to > s.first; });
    }
    void take(Side side, double from, double to) { taken[std::size_t(side)].emplace_back(from, to); }
};

/// Clockwise on the screen, without doubled points at the tips.
QPolygonF Bench::outline() const
{
    QPolygonF out;
    const auto put = [&out](const QPointF& p) {
        const bool doubled = !out.isEmpty() && std::hypot(p.x() - out.back().x(), p.y() - out.back().y()) < 1e-9;
        if (!doubled) out << p;
    };
    const std::size_t n = body.at.size();
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t k = turned ? n - 1 - i : i;
        put(onAxis(body.at[k]) + across() * body.half[k]);
    }
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t k = turned ? i : n - 1 - i;
        put(onAxis(body.at[k]) - across() * body.half[k]);
    }
    if (out.size() > 1 && std::hypot(out.front().x() - out.back().x(), out.front().y() - out.back().y()) < 1e-9)
        out.removeLast();
    return out;
}

/// On an end `along` counts across it from the axis to the right, on a wall it is the position.
CutPlace Bench::placeOn(Side side, double along) const
{
    if (side == Side::first || side == Side::last) {
        const double end = side == Side::first ? 0 : body.length();
        const QPointF p = onAxis(end);
        if (lying) return {p + QPointF(0, along), side == Side::first ? -90.0 : 90.0};
        return {p + QPointF(along, 0), (side == Side::first) != turned ? 0.0 : 180.0};
    }
    const double away = side == Side::preferred ? 1 : -1;
    const QPointF p = onAxis(along) + across() * (away * body.halfAt(along));
    if (lying) return {p, side == Side::preferred ? 0.0 : 180.0};
    return {p, side == Side::preferred ? 90.0 : -90.0};
}

/// Puts a row of things of one breadth: on an end around the axis, else along the wall around the place. Returns their
/// places; a row that would cover another moves to the opposite wall, or beside what stands on its end.
std::vector<CutPlace> putRow(Bench& bench, double at, double nearEnd, int count, double breadth, double gap)
{
    const double L = bench.body.length(), step = breadth + gap, row = count * step - gap;
    at = std::clamp(at, 0.0, L);
    Side side = Side::preferred;
    double middle = at;
    if (std::min(at, L - at) < nearEnd) {
        side = at < L / 2 ? Side::first : Side::last;
        middle = 0;
        for (const auto& [from, to] : bench.taken[std::size_t(side)])
            middle = std::max(middle, to + gap + row / 2);
    } else {
        middle = row < L ? std::clamp(at, row / 2, L - row / 2) : L / 2;
        const bool here = bench.isFree(Side::preferred, middle - row / 2, middle + row / 2);
        if (!here && bench.isFree(Side::other, middle - row / 2, middle + row / 2)) side = Side::other;
    }
    bench.take(side, middle - row / 2, middle + row / 2);
    std::vector<CutPlace> places;
    places.reserve(std::size_t(count));
    for (int i = 0; i < count; ++i)
        places.push_back(bench.placeOn(side, middle - row / 2 + breadth / 2 + i * step));
    return places;
}

double acrossOf(const CutPort& port) { return 1e3 * (port.shape == PortShape::round ? port.bore : port.height); }

/// Outline of all tubes of a port inside the cavity, mm3.
double takenInside(const CutPort& port)
{
    const double across = acrossOf(port) + 2e3 * port.wall;
    const double section = port.shape == PortShape::round ? std::numbers::pi / 4 * across * across
                                                          : across * 1e3 * (port.width + 2 * port.wall);
    return std::max(port.count, 1) * section * 1e3 * port.inside;
}

void putDrivers(const CutInput& input, Bench& bench, CutGeometry& out)
{
    const double d = std::max(coneDiameter(input.Sd), 1.0);
    const int count = std::clamp(input.drivers, 1, 8);
    for (const CutPlace& place : putRow(bench, 1e3 * input.driverAt, d / 2, count, frameOf * d, besideDriver))
        out.drivers.push_back({0, d, place});
}

void putOpenings(const CutInput& input, Bench& bench, CutGeometry& out)
{
    for (std::size_t i = 0; i < input.ports.size(); ++i) {
        const CutPort& port = input.ports[i];
        if (port.second) continue;
        const double across = acrossOf(port), at = port.at ? 1e3 * *port.at : bench.body.length();
        const double inside = 1e3 * std::min(port.inside, port.length), length = 1e3 * port.length;
        const double radius =
            port.shape == PortShape::round ? across / 2 : 1e3 * std::sqrt(port.width * port.height / std::numbers::pi);
        const int count = std::clamp(port.count, 1, mostTubes);
        for (const CutPlace& place : putRow(bench, at, radius, count, across + 2 * out.wall, besideTube)) {
            CutGeometry::Tube tube{-across / 2,
                                   across,
                                   inside,
                                   port.shape == PortShape::slot,
                                   i,
                                   place,
                                   std::max(length - inside, out.wall),
                                   length};
            layTube(tube, port, inside / double(port.bends.size() + 1) + across);
            out.tubes.push_back(std::move(tube));
        }
    }
    for (const CutPassive& passive : input.passives) {
        if (passive.second) continue;
        const double d = coneDiameter(passive.Sd);
        const CutPlace place = putRow(bench, bench.body.length(), d / 2, 1, frameOf * d, besideDriver).front();
        out.passives.push_back({0, d, place});
    }
}

void findBounds(CutGeometry& out)
{
    QRectF all = out.outline.boundingRect().adjusted(-out.wall, -out.wall, out.wall, out.wall);
    if (!out.second.isEmpty())
        all = all.united(out.second.boundingRect().adjusted(-out.wall, -out.baffle - 3, out.wall, out.wall));
    const auto add = [&all](const CutPlace& place, const QRectF& own) {
        all = all.united(QTransform().translate(place.at.x(), place.at.y()).rotate(place.turn).mapRect(own));
    };
    for (const auto& d : out.drivers)
        add(d.place,
            QRectF(d.centre - frameOf * d.d / 2, -out.baffle - 3, frameOf * d.d, depthOf * d.d + out.baffle + 3));
    for (const auto& t : out.tubes)
        add(t.place, t.box(out.wall));
    for (const auto& p : out.passives)
        add(p.place, QRectF(p.centre - frameOf * p.d / 2, -out.baffle - 3, frameOf * p.d, out.baffle + 3));
    out.bounds = all;
}

}  // namespace

double revolvedVolume(const QPolygonF& halfWidths)
{
    double sum = 0;
    for (qsizetype i = 0; i + 1 < halfWidths.size(); ++i) {
        const double a = halfWidths[i].y(), b = halfWidths[i + 1].y();
        sum += std::numbers::pi / 3 * (halfWidths[i + 1].x() - halfWidths[i].x()) * (a * a + a * b + b * b);
    }
    return sum;
}

CutGeometry profiledCut(const CutInput& input)
{
    CutGeometry out;
    out.known = true;
    out.leak = input.leak;
    out.baffle = out.wall;
    for (const CutPort& port : input.ports)
        out.portLengths.push_back(1e3 * port.length);
    const double d = std::max(coneDiameter(input.Sd), 1.0);
    const double each = input.driverDisplacement > 0 ? 1e9 * input.driverDisplacement : drawnDriverVolume(d);
    out.grossVolume = 1e9 * input.netVolume + std::max(input.drivers, 1) * each;
    for (const CutPort& port : input.ports)
        out.grossVolume += port.second ? 0 : takenInside(port);

    Bench bench{bodyOf(*input.profile, out.grossVolume), false, false, 0, {}};
    const double L = bench.body.length(), at = std::clamp(1e3 * input.driverAt, 0.0, L);
    bench.lying = std::min(at, L - at) >= d / 2;
    bench.turned = !bench.lying && at > L / 2;
    bench.widest = *std::max_element(bench.body.half.begin(), bench.body.half.end());
    out.outline = bench.outline();
    for (std::size_t i = 0; i < bench.body.at.size(); ++i)
        out.halfWidths << QPointF(bench.body.at[i], bench.body.half[i]);
    putDrivers(input, bench, out);
    putOpenings(input, bench, out);
    out.drawnArea = polygonArea(out.outline);
    out.breadth = out.grossVolume / out.drawnArea;  // mean: the body is round
    if (input.secondVolume) {
        placeSecond(input, out);
        out.secondArea = polygonArea(out.second);
    }
    findBounds(out);
    return out;
}

}  // namespace portwright
