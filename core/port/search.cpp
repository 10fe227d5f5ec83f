// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/search.h"

#include "core/cavity/shape.h"
#include "core/port/air_speed.h"
#include "core/port/classical.h"
#include "core/response/summary.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cmath>
#include <condition_variable>
#include <fmt/format.h>
#include <limits>
#include <mutex>
#include <thread>

namespace portwright {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

std::string hertz(double f) { return formatQuantity(f, Dimension::frequency); }
std::string millimetres(double x) { return formatQuantity(x, Dimension::length); }
std::string decibels(double x) { return fmt::format("{:.1f}\u00A0dB", x); }

// --- Families ---

std::string groupName(const PortFamily& f)
{
    const int n = countOf(f.body);
    return n > 1 ? fmt::format("{} x {}", n, f.material) : f.material;
}
std::string familyName(const PortFamily& f) { return groupName(f) + (f.flare.empty() ? "" : ", " + f.flare); }

bool takes(const PortOpening& body, const StockFlare& flare)
{
    constexpr double same = 0.5e-3;  // m
    const double narrow = body.shape == PortShape::round ? body.diameter : body.height;
    if (flare.forBore > 0 && (body.shape != PortShape::round || std::abs(flare.forBore - body.diameter) > same))
        return false;
    return flare.radius <= narrow / 2 * (1 + 1e-9);
}

void addFamilies(std::vector<PortFamily>& all, PortFamily base, const SearchRequest& request)
{
    for (int n = 1; n <= request.mostTubes; ++n) {
        if (n > 1) base.body.count = n;
        PortFamily plain = base;
        all.push_back(plain);
        for (const StockFlare& flare : request.stock.flares) {
            if (!takes(base.body, flare)) continue;
            PortFamily flared = base;
            flared.flare = flare.name;
            flared.body.innerFlare = flared.body.outerFlare = flare.radius;
            all.push_back(std::move(flared));
        }
    }
}

// --- Where a family's ports stand: portInCavity() at a few lengths, straight lines between ---

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

PlaceNode nodeOf(const PortInCavity& p, double length)
{
    const double f = tuningOf(p);
    return {{p.length, length, p.inner.l0, p.inner.l2, p.A, p.d, p.A1, p.P, p.A * p.d + p.A1 * p.P}, 1 / (f * f)};
}

struct Placing {
    const PortOpening& body;
    double bendRadius;
    const PortSpace& space;
    const Air& air;
    int bends = 0;

    PortOpening made(double length) const { return madePort(body, length, bends, bendRadius, space); }

    PortInCavity in(double length) const
    {
        const PortOpening port = made(length);
        CavityRoom room = space.empty;
        room.netVolume -= outlineVolume(port);
        return portInCavity(port, room, air);
    }

    struct Reckoned {
        PortInCavity port;
        PlaceNode node;
    };
    Reckoned at(double length) const
    {
        Reckoned r{in(length), {}};
        r.node = nodeOf(r.port, length);
        return r;
    }

    static void push(PlaceTable& t, const Reckoned& r)
    {
        t.ports.push_back(r.port);
        t.nodes.push_back(r.node);
    }

    // Splits until straight lines are right to a tenth of a millimetre of end and 1e-3 of the tuning.
    void fill(PlaceTable& t, const Reckoned& a, const Reckoned& b, int depth) const
    {
        const double length = (a.node.place.nominal + b.node.place.nominal) / 2;
        if (depth == 0 || b.node.place.nominal - a.node.place.nominal < 4e-3) return;
        const Reckoned m = at(length);
        const auto off = [](double x, double y, double z, double scale) { return std::abs(y - (x + z) / 2) / scale; };
        const FastPlace &p = a.node.place, &q = m.node.place, &r = b.node.place;
        const double worst = std::max({off(p.l0, q.l0, r.l0, 1e-4), off(p.A, q.A, r.A, 5e-4 * q.A),
                                       off(p.d, q.d, r.d, 2e-4), off(p.P, q.P, r.P, 2e-4),
                                       off(a.node.slowness, m.node.slowness, b.node.slowness, 2e-3 * m.node.slowness)});
        if (worst > 1) fill(t, a, m, depth - 1);
        push(t, m);
        if (worst > 1) fill(t, m, b, depth - 1);
    }

    PlaceTable table(double from, double to) const
    {
        PlaceTable t;
        const Reckoned a = at(from), b = at(to);
        push(t, a);
        fill(t, a, b, 6);
        if (to > from) push(t, b);
        return t;
    }
};

// The same with flares, which change the ends and what the port takes, hardly anything else.
PlaceTable flared(const PlaceTable& plain, const Placing& placing)
{
    const PortOpening& body = placing.body;
    const double inner = body.innerFlare.value_or(0), outer = body.outerFlare.value_or(0);
    if (inner == 0 && outer == 0) return plain;
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
        p.outer.length += flareLength(outer, p.radius);
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

// --- One family ---

// What a group of families, alike but for their flares, has in common: by the fewest bends that a length needs.
struct Run {
    int bends = 0;
    double shortest = 0, longest = 0;
    std::optional<PlaceTable> table;  // nothing: such a port cannot be
    std::string whyNot;
};

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
    while (not_ - possible > 1e-4) {
        const double middle = (possible + not_) / 2;
        (whyNot(placing, middle) ? not_ : possible) = middle;
    }
    return possible;
}

std::vector<Run> runsOf(const PortFamily& plain, const SearchRequest& r, const Air& air)
{
    std::vector<Run> runs;
    double reached = r.space.wall;
    for (int bends = 0; bends <= r.space.mostBends; ++bends) {
        if (bends > 0 && !(plain.bendRadius > 0)) break;
        double longest = longestPort(plain.body, bends, plain.bendRadius, r.space);
        if (plain.longestPiece > 0) longest = std::min(longest, plain.longestPiece);
        const double shortest = std::max(reached, shortestPort(bends, plain.bendRadius, r.space));
        if (longest < shortest) continue;
        Run run{bends, shortest, longest, {}, {}};
        const Placing placing{plain.body, plain.bendRadius, r.space, air, bends};
        if (const auto why = whyNot(placing, shortest)) {
            run.whyNot = *why;
        } else {
            if (whyNot(placing, longest)) run.longest = longestPossible(placing, shortest, longest);
            run.table = placing.table(shortest, run.longest);
        }
        runs.push_back(std::move(run));
        reached = longest;
    }
    return runs;
}

std::string bendWords(int bends)
{
    return bends == 0 ? "straight" : bends == 1 ? "with one bend" : fmt::format("with {} bends", bends);
}

/// Tells why, once for each reason.
struct Telling {
    std::vector<RejectedPorts>* to;
    const PortFamily& family;
    void tell(RejectedPorts::Reason reason, std::string why, double needed, double available, std::size_t n = 0) const
    {
        if (to) to->push_back({reason, familyName(family), std::move(why), needed, available, n});
    }
};

// The length that a tuning would need if there were room for it: 1/f^2 is nearly straight over the length.
double neededFor(double tuning, const Placing& placing, double from)
{
    const double wanted = 1 / (tuning * tuning);
    const auto possible = [&](double length) {
        return length <= 3 && outlineVolume(placing.made(length)) < 0.8 * placing.space.empty.netVolume;
    };
    double a = from, fa = placing.at(a).node.slowness, b = 1.3 * from + 0.02;
    for (int i = 0; i < 8 && possible(b); ++i) {
        const double fb = placing.at(b).node.slowness;
        if (std::abs(fb / wanted - 1) < 1e-4 || fb == fa) break;
        const double next = b + (wanted - fb) * (b - a) / (fb - fa);
        a = b, fa = fb;
        b = std::clamp(next, from, 2 * b);
    }
    return b;
}

void tellTooLong(const Telling& telling, const Placing& placing, const SearchRequest& r, double longest)
{
    const PortFamily& f = telling.family;
    const double needed = neededFor(r.tuningTo, placing, longest);
    const std::string first = fmt::format("{} it needs {} for {}, the highest tuning wanted", bendWords(placing.bends),
                                          millimetres(needed), hertz(r.tuningTo));
    if (f.longestPiece > 0 && longest >= f.longestPiece * (1 - 1e-9))
        return telling.tell(RejectedPorts::Reason::piece,
                            fmt::format("{}, and one piece has {}", first, millimetres(f.longestPiece)), needed,
                            longest);
    std::string why = fmt::format("{}, and {} is the longest that fits", first, millimetres(longest));
    int helps = 0;
    for (int bends = placing.bends + 1; bends <= 2 && helps == 0 && f.bendRadius > 0; ++bends)
        if (longestPort(f.body, bends, f.bendRadius, r.space) >= needed) helps = bends;
    if (helps > 0)
        why += fmt::format("; {} it fits, up to {}", bendWords(helps),
                           millimetres(longestPort(f.body, helps, f.bendRadius, r.space)));
    else if (!(f.bendRadius > 0))
        why += "; no bends are to be had for it";
    telling.tell(RejectedPorts::Reason::room, why, needed, longest);
}

// Those that fail a demand, told together with how near the best came.
struct Demands {
    const SearchRequest& request;
    std::size_t tooQuiet = 0, tooHigh = 0, overLimit = 0;
    double loudest = -infinity, lowestF3 = infinity, leastOver = infinity;

    bool met(const FastScores& s)
    {
        bool ok = true;
        if (request.leastLevel && !(s.loudest >= *request.leastLevel))
            ++tooQuiet, loudest = std::max(loudest, s.loudest), ok = false;
        if (request.highestF3 && !(s.f3 <= *request.highestF3))
            ++tooHigh, lowestF3 = std::min(lowestF3, s.f3), ok = false;
        if (request.cleanAtFeed && !(s.over <= 1)) ++overLimit, leastOver = std::min(leastOver, s.over), ok = false;
        return ok;
    }

    void tell(const Telling& t) const
    {
        using Reason = RejectedPorts::Reason;
        if (tooQuiet > 0)
            t.tell(Reason::level,
                   fmt::format("at most {} clean at every frequency of the band, {} are wanted", decibels(loudest),
                               decibels(*request.leastLevel)),
                   *request.leastLevel, loudest, tooQuiet);
        if (tooHigh > 0)
            t.tell(Reason::f3,
                   fmt::format("f3 is {} at best, {} or less is wanted", hertz(lowestF3), hertz(*request.highestF3)),
                   *request.highestF3, lowestF3, tooHigh);
        if (overLimit > 0)
            t.tell(Reason::limits,
                   fmt::format("at the feed in force a limit is passed by a factor of {:.2f} at best", leastOver), 1,
                   leastOver, overLimit);
    }
};

// --- Order ---

using Key = std::array<double, 5>;

double valueOf(const SearchCandidate& c, Aim aim)  // less is better
{
    switch (aim) {
    case Aim::loudest:
        return -c.scores.loudest;
    case Aim::lowestF3:
        return c.scores.f3;
    case Aim::flattest:
        return c.scores.ripple;
    case Aim::leastTravel:
        return c.scores.travel;
    case Aim::shortest:
        return c.length;
    }
    return 0;
}

double differenceThatCounts(Aim aim)
{
    switch (aim) {
    case Aim::loudest:
    case Aim::flattest:
        return 0.1;  // dB
    case Aim::lowestF3:
        return 0.5;  // Hz
    case Aim::leastTravel:
        return 0.05e-3;  // m
    case Aim::shortest:
        return 1e-3;  // m
    }
    return 1;
}

Key boxOf(const SearchCandidate& c, const std::vector<Aim>& aims)
{
    Key key{};
    for (std::size_t i = 0; i < aims.size(); ++i)
        key[i] = std::floor(valueOf(c, aims[i]) / differenceThatCounts(aims[i]) + 1e-6);
    return key;
}

// A strict order among equals: the aims' raw values, then place in the search.
bool before(const SearchCandidate& a, const SearchCandidate& b, const std::vector<Aim>& aims)
{
    for (Aim aim : aims)
        if (valueOf(a, aim) != valueOf(b, aim)) return valueOf(a, aim) < valueOf(b, aim);
    if (a.family != b.family) return a.family < b.family;
    if (a.length != b.length) return a.length < b.length;
    return a.bends < b.bends;
}

/// The undominated so far, and the best in each aim.
class Front {
public:
    explicit Front(const std::vector<Aim>& aims) : aims_(aims), champions_(aims.size()) {}

    void add(const SearchCandidate& c)
    {
        for (std::size_t i = 0; i < aims_.size(); ++i) {
            auto& best = champions_[i];
            if (!best || isBetter(c, *best, i)) best = c;
        }
        const Key key = boxOf(c, aims_);
        for (std::size_t i = 0; i < kept_.size(); ++i) {
            const Relation r = relation(key, kept_[i].key);
            if (r == Relation::beaten) return;
            if (r == Relation::same) {
                if (before(c, kept_[i].candidate, aims_)) kept_[i].candidate = c;
                return;
            }
            if (r == Relation::beats) {
                kept_[i] = kept_.back();
                kept_.pop_back();
                --i;
            }
        }
        kept_.push_back({key, c});
    }

    void add(const Front& other)
    {
        for (const Kept& k : other.kept_)
            add(k.candidate);
        for (const auto& c : other.champions_)
            if (c) add(*c);
    }

    // All of them in a fixed order, best in an aim included.
    std::vector<SearchCandidate> all() const
    {
        std::vector<SearchCandidate> list;
        for (const Kept& k : kept_)
            list.push_back(k.candidate);
        for (const auto& c : champions_)
            if (c) list.push_back(*c);
        const auto less = [this](const SearchCandidate& a, const SearchCandidate& b) { return before(a, b, aims_); };
        std::sort(list.begin(), list.end(), less);
        list.erase(std::unique(list.begin(), list.end(),
                               [](const SearchCandidate& a, const SearchCandidate& b) {
                                   return a.family == b.family && a.bends == b.bends && a.length == b.length;
                               }),
                   list.end());
        return list;
    }

    std::size_t undominated() const { return kept_.size(); }
    const std::vector<std::optional<SearchCandidate>>& champions() const { return champions_; }

private:
    enum class Relation { beats, beaten, same, neither };
    struct Kept {
        Key key;
        SearchCandidate candidate;
    };
    std::vector<Aim> aims_;
    std::vector<Kept> kept_;
    std::vector<std::optional<SearchCandidate>> champions_;

    Relation relation(const Key& a, const Key& b) const
    {
        bool better = false, worse = false;
        for (std::size_t i = 0; i < aims_.size(); ++i)
            better |= a[i]<b[i], worse |= a[i]> b[i];
        if (better) return worse ? Relation::neither : Relation::beats;
        return worse ? Relation::beaten : Relation::same;
    }

    bool isBetter(const SearchCandidate& a, const SearchCandidate& b, std::size_t aim) const
    {
        const double x = valueOf(a, aims_[aim]), y = valueOf(b, aims_[aim]);
        return x != y ? x < y : before(a, b, aims_);
    }
};

// --- The whole search ---

struct FamilyResult {
    explicit FamilyResult(const std::vector<Aim>& aims) : front(aims), failing(aims) {}
    Front front;
    Front failing;  // in the wanted range, but short of a demand
    std::vector<RejectedPorts> rejected;
    std::optional<SearchCandidate> nearest;  // the longest that fits where that is too short
    std::size_t candidates = 0;
};

template <class Use>
void eachCandidate(const FastModel& fast, const SearchRequest& r, const Air& air, const std::vector<Run>& runs,
                   const PortFamily& family, std::uint32_t index, const Telling& telling,
                   std::optional<SearchCandidate>* nearest, const Use& use)
{
    using Reason = RejectedPorts::Reason;
    if (const auto why = whyNoPlace(family.body, r.space)) return telling.tell(Reason::place, *why, 0, 0);
    if (runs.empty())
        return telling.tell(Reason::room,
                            fmt::format("with {} kept clear before its mouth there is no room left for it",
                                        millimetres(freeBefore(family.body, r.space))),
                            freeBefore(family.body, r.space), straightRun(r.space));
    const double flares = family.body.innerFlare.value_or(0) + family.body.outerFlare.value_or(0);
    const double airLimit = r.portAir.value_or(recommendedAirSpeed(family.body));
    double highest = 0;
    bool any = false;
    const Run* last = nullptr;
    for (const Run& run : runs) {
        if (!run.table) {
            telling.tell(Reason::body, run.whyNot, 0, 0);
            continue;
        }
        if (run.longest < flares) continue;
        last = &run;
        const Placing placing{family.body, family.bendRadius, r.space, air, run.bends};
        const PlaceTable table = flared(*run.table, placing);
        if (table.nodes.empty()) continue;
        for (const PlaceNode& node : table.nodes)
            highest = std::max(highest, node.tuning());
        double from = std::max({run.shortest, flares, table.nodes.front().place.nominal});
        if (table.nodes.front().tuning() > r.tuningTo) {
            const auto there = crossing(table, r.tuningTo);
            if (!there) continue;
            from = std::max(from, *there);
        }
        const FastPort port = fastPortOf(placing.made(run.longest), table.ports.back(), airLimit, fast);
        FastResponse response(fast, port);
        // Whole steps from 0, so that all families are cut to the same marks.
        for (auto i = std::int64_t(std::ceil(from / r.lengthStep - 1e-9));; ++i) {
            const double length = double(i) * r.lengthStep;
            if (length > run.longest * (1 + 1e-12)) break;
            const PlaceNode node = table.between(length);
            const double tuning = node.tuning();
            if (tuning < r.tuningFrom) break;
            if (tuning > r.tuningTo) continue;
            any = true;
            use(SearchCandidate{index, run.bends, length, tuning, response.at(node.place)});
        }
    }
    if (any || highest == 0 || !last) return;
    const Placing placing{family.body, family.bendRadius, r.space, air, last->bends};
    if (highest < r.tuningFrom)
        return telling.tell(
            Reason::tooLow,
            fmt::format("even at its shortest it tunes to {}, below the {} wanted; more or wider tubes would",
                        hertz(highest), hertz(r.tuningFrom)),
            r.tuningFrom, highest);
    const auto longest = placing.at(last->longest);
    if (longest.node.tuning() <= r.tuningTo) return;  // no mark of the rule falls into the range
    if (family.flare.empty())
        tellTooLong(telling, placing, r, last->longest);
    else
        telling.tell(Reason::room, "even the longest that fits tunes above what is wanted", 0, last->longest);
    if (nearest) {
        FastResponse response(fast, fastPortOf(placing.made(last->longest), longest.port, airLimit, fast));
        *nearest =
            SearchCandidate{index, last->bends, last->longest, longest.node.tuning(), response.at(longest.node.place)};
    }
}

// The families of one stock and count, without and with flares: `first` and those behind it.
std::vector<FamilyResult> searchGroup(const FastModel& fast, const SearchRequest& r, const Air& air,
                                      const std::vector<PortFamily>& families, std::size_t first, std::size_t end)
{
    std::vector<FamilyResult> all;
    const std::vector<Run> runs = runsOf(families[first], r, air);
    for (std::size_t i = first; i < end; ++i) {
        FamilyResult found(r.aims);
        const Telling telling{&found.rejected, families[i]};
        Demands demands{r};
        eachCandidate(fast, r, air, runs, families[i], std::uint32_t(i), telling, &found.nearest,
                      [&](const SearchCandidate& c) {
                          ++found.candidates;
                          (demands.met(c.scores) ? found.front : found.failing).add(c);
                      });
        demands.tell(telling);
        all.push_back(std::move(found));
    }
    return all;
}

// A family without flare opens each group.
std::vector<std::size_t> groupsOf(const std::vector<PortFamily>& families)
{
    std::vector<std::size_t> begins;
    for (std::size_t i = 0; i < families.size(); ++i)
        if (families[i].flare.empty()) begins.push_back(i);
    begins.push_back(families.size());
    return begins;
}

// All families, on several threads; nothing where it was cancelled.
std::optional<std::vector<FamilyResult>> searchFamilies(const FastModel& fast, const SearchRequest& r, const Air& air,
                                                        const std::vector<PortFamily>& families, const Watch& watch)
{
    std::vector<FamilyResult> results(families.size(), FamilyResult(r.aims));
    const std::vector<std::size_t> begins = groupsOf(families);
    const std::size_t groups = begins.size() - 1;
    std::atomic<std::size_t> next{0}, finished{0};
    std::atomic<bool> stop{false};
    std::mutex mutex;
    std::condition_variable moved;
    const auto work = [&] {
        for (std::size_t i = next++; i < groups && !stop; i = next++) {
            std::vector<FamilyResult> some = searchGroup(fast, r, air, families, begins[i], begins[i + 1]);
            const std::lock_guard lock(mutex);
            std::move(some.begin(), some.end(), results.begin() + std::ptrdiff_t(begins[i]));
            ++finished;
            moved.notify_one();
        }
    };
    const int wanted = r.threads > 0 ? r.threads : int(std::max(1u, std::thread::hardware_concurrency()));
    std::vector<std::thread> threads;
    for (int i = 0; i < wanted; ++i)
        threads.emplace_back(work);
    {
        std::unique_lock lock(mutex);
        while (finished < groups && !stop) {
            moved.wait_for(lock, std::chrono::milliseconds(20));
            const double part = double(finished) / double(std::max<std::size_t>(groups, 1));
            lock.unlock();
            report(watch, part, "reckoning ports");
            if (isCancelled(watch)) stop = true;
            lock.lock();
        }
    }
    for (std::thread& t : threads)
        t.join();
    if (stop) return std::nullopt;
    return results;
}

Result<SearchRequest> checked(SearchRequest r, const Model& model)
{
    const double fs = model.driver.fs;
    if (r.tuningFrom == 0) r.tuningFrom = 0.6 * fs;
    if (r.tuningTo == 0) r.tuningTo = std::max(1.4 * fs, 1.05 * r.tuningFrom);
    const auto within = [](double x, double low, double high) { return std::isfinite(x) && x >= low && x <= high; };
    if (!within(r.tuningFrom, 5, 1000) || !within(r.tuningTo, 5, 1000) || !(r.tuningFrom < r.tuningTo))
        return fail("tuning", fmt::format("the range of tuning is {:g} to {:g} Hz; it must rise, within 5 to 1000 Hz",
                                          r.tuningFrom, r.tuningTo));
    if (!within(r.band.from, 10, 2000) || !within(r.band.to, 10, 2000) || !(r.band.from < r.band.to) ||
        !within(r.band.lowest, 5, r.band.from))
        return fail("band", fmt::format("the band is {:g} to {:g} Hz; it must rise, within 10 to 2000 Hz", r.band.from,
                                        r.band.to));
    if (r.mostTubes < 1 || r.mostTubes > 16)
        return fail("tubes", fmt::format("{} tubes side by side; allowed are 1 to 16", r.mostTubes));
    if (r.space.mostBends < 0 || r.space.mostBends > 2)
        return fail("bends", fmt::format("{} bends; allowed are 0 to 2", r.space.mostBends));
    if (!within(r.lengthStep, 1e-5, 0.1))
        return fail("step",
                    fmt::format("the step of length is {:g} mm; allowed are 0.01 to 100 mm", r.lengthStep * 1e3));
    if (r.stock.tubes.empty() && r.stock.slots.empty())
        return fail("stock", "there is neither a tube nor a slot to make a port of");
    if (r.aims.empty() || r.aims.size() > 5) return fail("aims", "one to five aims are expected");
    for (std::size_t i = 0; i < r.aims.size(); ++i)
        for (std::size_t k = 0; k < i; ++k)
            if (r.aims[i] == r.aims[k]) return fail("aims", "the aim " + nameOf(r.aims[i]) + " is there twice");
    if (!(r.space.empty.netVolume > 0)) return fail("volume", "the cavity has no air left for a port");
    if (!within(r.space.clearance, 0, 10) || !within(r.space.wall, 0, 0.5) || !within(r.space.outside, 0, 3) ||
        !within(r.space.straight.value_or(1), 0, 10) || !within(r.space.across.value_or(1), 0, 10) ||
        !within(r.space.mouthWidth.value_or(1), 0, 10) || !within(r.space.mouthHeight.value_or(1), 0, 10))
        return fail("space", "a size of the space for the port is below 0 or absurd");
    if (r.portAir && !within(*r.portAir, 1, 100))
        return fail("air", fmt::format("the limit of port air is {:g} m/s; allowed are 1 to 100 m/s", *r.portAir));
    return r;
}

// --- What is shown ---

std::string wordsFor(const PortFamily& f, const SearchCandidate& c)
{
    std::string words = groupName(f) + ", " + millimetres(c.length);
    if (c.bends > 0) words += c.bends == 1 ? ", one bend" : ", two bends";
    return f.flare.empty() ? words : words + ", " + f.flare;
}

// The whole model of one port: level, limits and the rest over a finer grid.
Result<FoundPort> fully(const Model& base, int opening, const SearchRequest& r, const PortFamily& family,
                        const SearchCandidate& c)
{
    FoundPort f;
    f.port = madePort(family.body, c.length, c.bends, family.bendRadius, r.space);
    f.words = wordsFor(family, c);
    f.material = family.material, f.flare = family.flare;
    f.bends = c.bends;
    f.scores = c.scores;
    Model m = withPort(base, opening, r.space, f.port);
    f.airLimit = m.portAirLimit = r.portAir.value_or(recommendedAirSpeed(f.port));
    f.netVolume = m.housing.cavity.netVolume;
    f.tuning = tuningOf(m).value_or(0);
    const Grid grid = logGrid(r.band.lowest, std::max(1.2 * r.band.to, 200.0), 120);
    const auto curves = curvesOf(m, grid);
    if (!curves) return tl::unexpected(curves.error());
    const LimitCurves limits = limitsOf(m, *curves);
    f.loudest = infinity;
    double high = -infinity, low = infinity;
    for (Eigen::Index i = 0; i < grid.size(); ++i) {
        if (grid.frequency[i] < r.band.from || grid.frequency[i] > r.band.to) continue;
        high = std::max(high, curves->level[i]), low = std::min(low, curves->level[i]);
        if (limits.loudest[i] >= f.loudest) continue;
        f.loudest = limits.loudest[i];
        f.limit = limits.limit[std::size_t(i)];
        f.limitAt = grid.frequency[i];
    }
    f.ripple = high - low;
    f.travel = curves->coneTravel.maxCoeff();
    const int index = opening < 0 ? int(m.housing.openings.size()) - 1 : opening;
    for (std::size_t i = 0; i < curves->portAir.size(); ++i)
        if (curves->portOpening[i] == index) f.airSpeed = curves->portAir[i].maxCoeff();
    if (const auto summary = summaryOf(m)) f.f3 = summary->f3.value_or(0);
    if (m.driver.Xmax) {
        const double bore = startingBore(f.tuning, m.driverCount * m.driver.driver.Sd * *m.driver.Xmax);
        f.smallestArea = pi * bore * bore / 4;
    }
    return f;
}

double fullValue(const FoundPort& f, Aim aim)
{
    switch (aim) {
    case Aim::loudest:
        return -f.loudest;
    case Aim::lowestF3:
        return f.f3 > 0 ? f.f3 : 1e4;
    case Aim::flattest:
        return f.ripple;
    case Aim::leastTravel:
        return f.travel;
    case Aim::shortest:
        return f.port.length;
    }
    return 0;
}

// Each aim from 0, the best of all, to 1, the worst; the first counts whole, each next one 0.6 of the one before.
template <class Item, class Value>
std::vector<double> weighed(const std::vector<Item>& items, const std::vector<Aim>& aims, const Value& value)
{
    std::vector<double> sums(items.size(), 0);
    double weight = 1;
    for (Aim aim : aims) {
        double low = infinity, high = -infinity;
        for (const Item& item : items)
            if (const double v = value(item, aim); std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
        const double span = std::max(high - low, differenceThatCounts(aim));
        for (std::size_t i = 0; i < items.size(); ++i) {
            const double v = value(items[i], aim);
            sums[i] += weight * (std::isfinite(v) ? (v - low) / span : 1);
        }
        weight *= 0.6;
    }
    return sums;
}

template <class Item> void sortBy(std::vector<Item>& items, const std::vector<double>& sums)
{
    std::vector<std::size_t> order(items.size());
    for (std::size_t i = 0; i < order.size(); ++i)
        order[i] = i;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return sums[a] < sums[b]; });
    std::vector<Item> sorted;
    for (std::size_t i : order)
        sorted.push_back(std::move(items[i]));
    items = std::move(sorted);
}

bool isChampion(const Front& front, const SearchCandidate& c)
{
    return std::any_of(front.champions().begin(), front.champions().end(), [&](const auto& best) {
        return best && best->family == c.family && best->length == c.length && best->bends == c.bends;
    });
}

// The best in each aim, then down the ranking, but no two of one family within a tenth of their length.
std::vector<SearchCandidate> chosen(const Front& front, const SearchRequest& r)
{
    std::vector<SearchCandidate> all = front.all(), shown;
    sortBy(all, weighed(all, r.aims, valueOf));
    for (const SearchCandidate& c : all)
        if (isChampion(front, c)) shown.push_back(c);
    for (const SearchCandidate& c : all) {
        if (shown.size() >= std::max(r.show, shown.empty() ? std::size_t(1) : std::size_t(0))) break;
        const bool alike = std::any_of(shown.begin(), shown.end(), [&](const SearchCandidate& s) {
            return s.family == c.family && std::abs(s.length / c.length - 1) < 0.1;
        });
        if (!alike) shown.push_back(c);
    }
    return shown;
}

std::string showValue(const FoundPort& f, Aim aim)
{
    switch (aim) {
    case Aim::loudest:
        return decibels(f.loudest);
    case Aim::lowestF3:
        return f.f3 > 0 ? hertz(f.f3) : "no f3";
    case Aim::flattest:
        return decibels(f.ripple);
    case Aim::leastTravel:
        return formatQuantity(f.travel, Dimension::travel);
    case Aim::shortest:
        return millimetres(f.port.length);
    }
    return {};
}

std::string againstFirst(const FoundPort& f, const FoundPort& first, Aim aim)
{
    const double by = fullValue(f, aim) - fullValue(first, aim);
    if (!std::isfinite(by) || std::abs(by) < differenceThatCounts(aim)) return {};
    const bool less = by < 0;
    switch (aim) {
    case Aim::loudest:
        return decibels(std::abs(by)) + (less ? " louder" : " less loud");
    case Aim::lowestF3:
        return "f3 " + hertz(std::abs(by)) + (less ? " lower" : " higher");
    case Aim::flattest:
        return decibels(std::abs(by)) + (less ? " flatter" : " less flat");
    case Aim::leastTravel:
        return formatQuantity(std::abs(by), Dimension::travel) + (less ? " less travel" : " more travel");
    case Aim::shortest:
        return millimetres(std::abs(by)) + (less ? " shorter" : " longer");
    }
    return {};
}

void giveReasons(std::vector<FoundPort>& ranked, const SearchRequest& r)
{
    for (std::size_t i = 0; i < ranked.size(); ++i) {
        FoundPort& f = ranked[i];
        for (Aim aim : f.bestAt)
            f.reasons.push_back(fmt::format("{} of all: {}", wordsOf(aim), showValue(f, aim)));
        if (i > 0) {
            std::string trade;
            for (Aim aim : r.aims)
                if (const std::string part = againstFirst(f, ranked[0], aim); !part.empty())
                    trade += (trade.empty() ? "" : ", ") + part;
            f.reasons.push_back(trade.empty() ? "as good as the first in all that was asked"
                                              : "against the first: " + trade);
        } else if (f.bestAt.empty()) {
            f.reasons.push_back("the best of the aims together, best in none");
        }
        f.reasons.push_back(f.limit == LimitKind::none
                                ? "nothing limits it in the band"
                                : fmt::format("{} is what stops it, at {}", nameOf(f.limit), hertz(f.limitAt)));
        const double area = countOf(f.port) * areaOf(f.port);
        if (f.smallestArea > 0 && area < f.smallestArea)
            f.reasons.push_back(fmt::format("{} of mouth where Small's rule asks for {}: it will be heard first here",
                                            formatQuantity(area, Dimension::area),
                                            formatQuantity(f.smallestArea, Dimension::area)));
    }
}

// One line for each group where a reason is the same with and without flares.
std::vector<RejectedPorts> told(const std::vector<PortFamily>& families, const std::vector<FamilyResult>& results)
{
    std::vector<RejectedPorts> all;
    std::vector<std::pair<std::string, RejectedPorts::Reason>> plain;
    for (std::size_t i = 0; i < families.size(); ++i)
        for (const RejectedPorts& r : results[i].rejected) {
            const std::pair key{groupName(families[i]), r.reason};
            if (!families[i].flare.empty() && std::find(plain.begin(), plain.end(), key) != plain.end()) continue;
            if (families[i].flare.empty()) plain.push_back(key);
            all.push_back(r);
        }
    return all;
}

Result<std::vector<FoundPort>> shownFully(const Model& model, int opening, const SearchRequest& r,
                                          const std::vector<PortFamily>& families,
                                          const std::vector<SearchCandidate>& list, const Watch& watch)
{
    std::vector<FoundPort> found;
    for (const SearchCandidate& c : list) {
        if (isCancelled(watch)) return cancelledWork();
        auto port = fully(model, opening, r, families[c.family], c);
        if (!port) return tl::unexpected(port.error());
        found.push_back(std::move(*port));
    }
    return found;
}

// The nearest that can be built: short of a demand, or of the lowest tuning wanted.
std::vector<SearchCandidate> nearestOf(const std::vector<FamilyResult>& results, const SearchRequest& r)
{
    Front failing(r.aims);
    std::vector<SearchCandidate> longest;
    for (const FamilyResult& one : results) {
        failing.add(one.failing);
        if (one.nearest) longest.push_back(*one.nearest);
    }
    constexpr std::size_t most = 3;
    SearchRequest few = r;
    few.show = most;
    std::vector<SearchCandidate> list = chosen(failing, few);
    std::stable_sort(longest.begin(), longest.end(), [](const SearchCandidate& a, const SearchCandidate& b) {
        return a.tuning != b.tuning ? a.tuning < b.tuning : a.family < b.family;
    });
    for (std::size_t i = 0; i < std::min(most, longest.size()); ++i)
        list.push_back(longest[i]);
    return list;
}

void addCompromiseWords(std::vector<FoundPort>& list, const SearchRequest& r)
{
    for (FoundPort& f : list) {
        if (f.tuning > r.tuningTo)
            f.reasons.push_back(fmt::format("the longest that fits tunes to {}, above the {} wanted at most",
                                            hertz(f.tuning), hertz(r.tuningTo)));
        if (r.leastLevel && f.loudest < *r.leastLevel)
            f.reasons.push_back(
                fmt::format("{} short of the {} wanted", decibels(*r.leastLevel - f.loudest), decibels(*r.leastLevel)));
        if (r.highestF3 && !(f.f3 > 0 && f.f3 <= *r.highestF3))
            f.reasons.push_back(
                fmt::format("f3 {} where {} is wanted", f.f3 > 0 ? hertz(f.f3) : "none", hertz(*r.highestF3)));
        if (r.cleanAtFeed && f.airSpeed > f.airLimit)
            f.reasons.push_back(fmt::format("port air {} at the feed in force, {} is its limit",
                                            formatQuantity(f.airSpeed, Dimension::airSpeed),
                                            formatQuantity(f.airLimit, Dimension::airSpeed)));
    }
}

}  // namespace

std::string nameOf(Aim aim)
{
    switch (aim) {
    case Aim::loudest:
        return "loudest";
    case Aim::lowestF3:
        return "f3";
    case Aim::flattest:
        return "flat";
    case Aim::leastTravel:
        return "travel";
    case Aim::shortest:
        return "short";
    }
    return {};
}

std::optional<Aim> aimNamed(std::string_view name)
{
    for (Aim aim : {Aim::loudest, Aim::lowestF3, Aim::flattest, Aim::leastTravel, Aim::shortest})
        if (nameOf(aim) == name) return aim;
    return std::nullopt;
}

std::string wordsOf(Aim aim)
{
    switch (aim) {
    case Aim::loudest:
        return "loudest clean level";
    case Aim::lowestF3:
        return "lowest f3";
    case Aim::flattest:
        return "flattest";
    case Aim::leastTravel:
        return "least cone travel";
    case Aim::shortest:
        return "shortest";
    }
    return {};
}

PortSpace spaceOf(const Model& model, int opening)
{
    PortSpace space;
    const Cavity& cavity = model.housing.cavity;
    space.empty = roomOf(cavity);
    if (!cavity.measurements.empty())
        if (const auto shape = shapeOf(cavity, {})) space.empty.depth = shape->length();
    if (opening >= 0)
        if (const auto* port = std::get_if<PortOpening>(&model.housing.openings[std::size_t(opening)].kind))
            space.empty.netVolume += outlineVolume(*port);
    return space;
}

Model withPort(const Model& model, int opening, const PortSpace& space, const PortOpening& port)
{
    Housing housing = model.housing;
    housing.cavity.netVolume = space.empty.netVolume - outlineVolume(port);
    if (opening < 0)
        housing.openings.push_back({port, {}, {}});
    else
        housing.openings[std::size_t(opening)].kind = port;
    return withHousing(model, housing);
}

std::vector<PortFamily> familiesOf(const SearchRequest& request)
{
    std::vector<PortFamily> all;
    for (const StockTube& tube : request.stock.tubes) {
        PortFamily f;
        f.body.diameter = tube.bore, f.body.wall = tube.wall;
        f.material = tube.name, f.bendRadius = tube.bendRadius, f.longestPiece = tube.longest;
        addFamilies(all, std::move(f), request);
    }
    for (const StockSlot& slot : request.stock.slots) {
        PortFamily f;
        f.body.shape = PortShape::slot;
        f.body.width = slot.width, f.body.height = slot.height, f.body.wall = slot.wall;
        f.material = slot.name, f.longestPiece = slot.longest;
        f.bendRadius = slot.height + slot.wall;  // folded over its flat side
        addFamilies(all, std::move(f), request);
    }
    return all;
}

std::vector<SearchCandidate> candidatesOf(const FastModel& fast, const SearchRequest& request, const Air& air,
                                          const std::vector<PortFamily>& families, std::uint32_t family,
                                          std::vector<RejectedPorts>* rejected)
{
    std::vector<SearchCandidate> list;
    std::size_t plain = family;
    while (!families[plain].flare.empty())
        --plain;
    eachCandidate(fast, request, air, runsOf(families[plain], request, air), families[family], family,
                  Telling{rejected, families[family]}, nullptr, [&](const SearchCandidate& c) { list.push_back(c); });
    return list;
}

std::vector<SearchCandidate> undominated(const std::vector<SearchCandidate>& candidates, const std::vector<Aim>& aims)
{
    Front front(aims);
    for (const SearchCandidate& c : candidates)
        front.add(c);
    return front.all();
}

Result<SearchResult> searchPorts(const Model& model, int opening, const SearchRequest& request, const Watch& watch)
{
    if (opening >= int(model.housing.openings.size()) ||
        (opening >= 0 && !std::holds_alternative<PortOpening>(model.housing.openings[std::size_t(opening)].kind)))
        return fail("opening", fmt::format("opening {} is no port of this housing", opening + 1));
    const auto r = checked(request, model);
    if (!r) return tl::unexpected(r.error());
    Model bare = model;
    if (opening >= 0) {
        Housing housing = model.housing;
        housing.openings.erase(housing.openings.begin() + opening);
        bare = withHousing(model, housing);
    }
    const FastModel fast = fastModelOf(bare, r->band);
    const std::vector<PortFamily> families = familiesOf(*r);
    const auto results = searchFamilies(fast, *r, model.air, families, watch);
    if (!results) return cancelledWork();

    SearchResult found;
    Front front(r->aims);
    for (const FamilyResult& one : *results) {
        front.add(one.front);
        found.candidates += one.candidates;
    }
    found.undominated = front.undominated();
    found.rejected = told(families, *results);
    const std::vector<SearchCandidate> list = chosen(front, *r);
    auto ranked = shownFully(model, opening, *r, families, list, watch);
    if (!ranked) return tl::unexpected(ranked.error());
    for (std::size_t i = 0; i < list.size(); ++i)
        for (std::size_t a = 0; a < r->aims.size(); ++a) {
            const auto& best = front.champions()[a];
            if (best && best->family == list[i].family && best->length == list[i].length &&
                best->bends == list[i].bends)
                (*ranked)[i].bestAt.push_back(r->aims[a]);
        }
    sortBy(*ranked, weighed(*ranked, r->aims, fullValue));
    giveReasons(*ranked, *r);
    found.ranked = std::move(*ranked);
    if (found.ranked.empty()) {
        auto nearest = shownFully(model, opening, *r, families, nearestOf(*results, *r), watch);
        if (!nearest) return tl::unexpected(nearest.error());
        addCompromiseWords(*nearest, *r);
        found.compromises = std::move(*nearest);
        found.otherWays = otherWays(model, opening, r->space, r->band, std::sqrt(r->tuningFrom * r->tuningTo));
    }
    if (!sizesKnown(r->space.empty))
        found.notes.push_back("The cavity's sizes are not known: it is taken for a compact box of its volume. Width, "
                              "breadth and depth say more.");
    if (!model.housing.cavity.measurements.empty())
        found.notes.push_back("The ranking takes the cavity for a box of its volume and depth; the ports shown are "
                              "reckoned again in its measured shape.");
    found.notes.push_back("The ranking leaves out what blows away at the port's ends; the figures shown have it in.");
    return found;
}

}  // namespace portwright
