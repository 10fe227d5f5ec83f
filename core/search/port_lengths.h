// SPDX-License-Identifier: GPL-3.0-or-later
// Where ports of one body stand in their cavity over all their lengths: portInCavity() at a few of them, straight lines
// between. Internal to the search.
#pragma once

#include "core/port/clearances.h"
#include "core/search/fast_response.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace portwright::searching {

struct PlaceNode {
    FastPlace place;
    double slowness = 0;  // 1/tuning^2, nearly straight over the length
    double tuning() const { return 1 / std::sqrt(slowness); }
};

struct PlaceTable {
    std::vector<PortInCavity> ports;  // as they were reckoned, without flares
    std::vector<PlaceNode> nodes;     // by nominal length, rising
    mutable std::size_t at = 0;       // where the last one was found

    PlaceNode between(double length) const
    {
        while (at + 2 < nodes.size() && nodes[at + 1].place.nominal < length)
            ++at;
        while (at > 0 && nodes[at].place.nominal > length)
            --at;
        const PlaceNode &a = nodes[at], &b = nodes[std::min(at + 1, nodes.size() - 1)];
        const double span = b.place.nominal - a.place.nominal, t = span > 0 ? (length - a.place.nominal) / span : 0;
        const auto mix = [t](double x, double y) { return x + t * (y - x); };
        const FastPlace &p = a.place, &q = b.place;
        return {{mix(p.length, q.length), length, mix(p.l0, q.l0), mix(p.l2, q.l2), mix(p.A, q.A), mix(p.d, q.d),
                 mix(p.A1, q.A1), mix(p.P, q.P), mix(p.volume, q.volume)},
                mix(a.slowness, b.slowness)};
    }
};

FastPlace placeOf(const PortInCavity& port, double nominalLength);

/// One body with its bends, to be cut to any length.
struct Placing {
    const PortOpening& body;
    double bendRadius;
    const PortSpace& space;
    const Air& air;
    int bends = 0;
    ModeSums* known = nullptr;
    double tuningFrom = 0, tuningTo = 1e9;  // Hz, of interest: a table is coarse beyond

    PortOpening made(double length) const { return madePort(body, length, bends, bendRadius, space); }

    PortInCavity in(double length) const
    {
        const PortOpening port = made(length);
        CavityRoom room = space.empty;
        room.netVolume -= outlineVolume(port);
        return portInCavity(port, room, air, known);
    }

    struct Reckoned {
        PortInCavity port;
        PlaceNode node;
    };
    Reckoned at(double length) const;

    static void push(PlaceTable& t, const Reckoned& r)
    {
        t.ports.push_back(r.port);
        t.nodes.push_back(r.node);
    }

    /// Over a range of lengths: straight lines are right to 0.15 mm of end and 1e-3 of the tuning.
    PlaceTable table(double from, double to) const;

private:
    void fill(PlaceTable& t, const Reckoned& a, const Reckoned& b, int depth) const;
};

/// The table of a body without flares, for the same with flares: of one tube they change the ends and what the port
/// takes, hardly anything else.
PlaceTable flared(const PlaceTable& plain, const Placing& placing);

/// The length at which a falling tuning passes a value, in the table or nothing.
std::optional<double> crossing(const PlaceTable& t, double tuning);

/// A sentence without full stop where the port of that length cannot be.
std::optional<std::string> whyNot(const Placing& placing, double length);
double longestPossible(const Placing& placing, double possible, double not_);

/// The length that a tuning would need if there were room for it; nothing where none gets so low, since a longer port
/// takes more of the cavity than it gains.
std::optional<double> neededFor(double tuning, const Placing& placing, double from);

}  // namespace portwright::searching
