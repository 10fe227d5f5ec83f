// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/port_lengths.h"

#include <algorithm>
#include <cmath>

namespace portwright::searching {

namespace {

PlaceNode nodeOf(const PortInCavity& p, double length)
{
    const double f = tuningOf(p);
    return {placeOf(p, length), 1 / (f * f)};
}

}  // namespace

FastPlace placeOf(const PortInCavity& p, double length)
{
    return {p.length, length, p.inner.l0, p.inner.l2, p.A, p.d, p.A1, p.P, p.A * p.d + p.A1 * p.P};
}

Placing::Reckoned Placing::at(double length) const
{
    Reckoned r{in(length), {}};
    r.node = nodeOf(r.port, length);
    return r;
}

void Placing::fill(PlaceTable& t, const Reckoned& a, const Reckoned& b, int depth) const
{
    const double length = (a.node.place.nominal + b.node.place.nominal) / 2;
    constexpr double narrow = 1.5e-3;
    if (depth == 0 || b.node.place.nominal - a.node.place.nominal < narrow) return;
    constexpr double margin = 1.15;  // flares tune higher, and between two lengths the tuning may be the lowest
    const double high = std::max(a.node.tuning(), b.node.tuning()), low = std::min(a.node.tuning(), b.node.tuning());
    if (low > margin * tuningTo || high * margin < tuningFrom) return;
    const Reckoned m = at(length);
    const auto off = [](double x, double y, double z, double scale) { return std::abs(y - (x + z) / 2) / scale; };
    const FastPlace &p = a.node.place, &q = m.node.place, &r = b.node.place;
    const double worst = std::max({off(p.l0, q.l0, r.l0, 1.5e-4), off(p.A, q.A, r.A, 3e-3 * q.A),
                                   off(p.d, q.d, r.d, 1e-3), off(p.P, q.P, r.P, 1e-3),
                                   off(a.node.slowness, m.node.slowness, b.node.slowness, 2e-3 * m.node.slowness)});
    if (worst > 1) fill(t, a, m, depth - 1);
    push(t, m);
    if (worst > 1) fill(t, m, b, depth - 1);
}

PlaceTable Placing::table(double from, double to) const
{
    // Where the mouth leaves the wall the end bends, and a shelf's begins: a length to each side of it. A bore before
    // the far wall a bent tube goes no deeper, and a box of no known depth begins to grow with a straight one.
    constexpr double beside = 1e-6;
    const double through = space.wall + space.outside;
    Reckoned a = at(from);
    const double deep = through + a.port.P + a.port.d - 2 * radiusOf(body);
    std::vector<double> ends{through, through + beside, deep, to};
    std::erase_if(ends, [&](double x) { return !(x > from && x <= to); });
    std::sort(ends.begin(), ends.end());
    PlaceTable t;
    push(t, a);
    for (double end : ends) {
        const Reckoned b = at(end);
        fill(t, a, b, 9);
        push(t, b);
        a = b;
    }
    return t;
}

PlaceTable flared(const PlaceTable& plain, const Placing& placing)
{
    const PortOpening& body = placing.body;
    const double inner = body.innerFlare.value_or(0), outer = body.outerFlare.value_or(0);
    if (inner == 0 && outer == 0) return plain;
    const double last = plain.nodes.back().place.nominal;
    if (last <= inner + outer) return {};
    // Lips hold tubes apart, which the cavity's walls notice, and a flare keeps a bend from the wall.
    if (countOf(body) > 1 || placing.bends > 0)
        return placing.table(std::max(plain.nodes.front().place.nominal, inner + outer), last);
    PlaceTable t;
    if (const double flares = inner + outer;
        flares > plain.nodes.front().place.nominal && flares < plain.nodes.back().place.nominal)
        Placing::push(t, placing.at(flares));  // its shortest: nothing but flares
    for (std::size_t i = 0; i < plain.nodes.size(); ++i) {
        const double length = plain.nodes[i].place.nominal;
        if (length <= inner + outer) continue;
        PortInCavity p = plain.ports[i];
        PortOpening with = placing.made(length), without = with;
        without.innerFlare.reset(), without.outerFlare.reset();
        const double e = std::min(p.radius / std::sqrt(p.A / p.count / pi), 1.0);
        p.inner.l0 += flareLength(inner, p.radius) * (1 - 0.41 * e);
        p.outer = outerEndOf(with);  // tubes with lips stand further apart, too
        if (p.P > 0) p.A1 -= (outlineVolume(with) - outlineVolume(without)) / p.P;
        p.A1 = std::max(p.A1, 0.05 * p.A);
        t.ports.push_back(p);
        t.nodes.push_back(nodeOf(p, length));
    }
    return t;
}

// The length at which a falling tuning passes a value, in the table or nothing.
std::optional<double> crossing(const PlaceTable& t, double tuning)
{
    const double wanted = 1 / (tuning * tuning);
    for (std::size_t i = 1; i < t.nodes.size(); ++i) {
        const PlaceNode &a = t.nodes[i - 1], &b = t.nodes[i];
        if (a.slowness <= wanted && b.slowness > wanted)
            return a.place.nominal +
                   (b.place.nominal - a.place.nominal) * (wanted - a.slowness) / (b.slowness - a.slowness);
    }
    return std::nullopt;
}
std::optional<std::string> whyNot(const Placing& placing, double length)
{
    const PortOpening made = placing.made(length);
    CavityRoom room = placing.space.empty;
    room.netVolume -= outlineVolume(made);
    constexpr double leastAir = 0.1;  // of the cavity
    if (room.netVolume < leastAir * placing.space.empty.netVolume)
        return "it takes more than nine tenths of the cavity";
    return whyImpossible(made, room);
}

double longestPossible(const Placing& placing, double possible, double not_)
{
    while (not_ - possible > 1e-9) {
        const double middle = (possible + not_) / 2;
        (whyNot(placing, middle) ? not_ : possible) = middle;
    }
    return possible;
}

// The length that a tuning would need if there were room for it: 1/f^2 is nearly straight over the length.
std::optional<double> neededFor(double tuning, const Placing& placing, double from)
{
    const double wanted = 1 / (tuning * tuning);
    const auto possible = [&](double length) {
        return length <= 3 && outlineVolume(placing.made(length)) < 0.8 * placing.space.empty.netVolume;
    };
    double a = from, fa = placing.at(a).node.slowness, b = 1.3 * from + 0.02;
    for (int i = 0; i < 8 && possible(b); ++i) {
        const double fb = placing.at(b).node.slowness;
        if (std::abs(fb / wanted - 1) < 1e-3) return b;
        const double slope = (fb - fa) / (b - a);
        if (!(slope > 0)) break;
        const double next = b + (wanted - fb) / slope;
        a = b, fa = fb;
        b = std::clamp(next, from, 2 * b);
    }
    return std::nullopt;
}

}  // namespace portwright::searching
