// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/search_candidates.h"

#include "core/port/air_speed.h"
#include "core/search/port_lengths.h"
#include "core/search/search_words.h"

#include <cstdint>
#include <fmt/format.h>

namespace portwright {

namespace searching {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

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

double cavityWidth(const CavityRoom& room)
{
    return room.width > 0 ? room.width : room.netVolume / (room.breadth * room.depth);
}

// A slot that walls of the cavity close on some of its sides: one alone, straight, and without flares, which have no
// room at such a wall. One that shares three is as wide as the cavity.
void addShared(std::vector<PortFamily>& all, PortFamily base, int walls, const SearchRequest& request)
{
    base.body.sharedWalls = walls;
    base.bendRadius = 0;
    if (walls == 1) base.material += " on the floor";
    if (walls == 2) base.material += " in a corner";
    if (walls == 3) {
        base.body.width = cavityWidth(request.space.empty);
        const auto length = [&](double x) { return formatQuantity(x, Dimension::length, request.units); };
        base.material = fmt::format("slot {} high across the floor, {} panel over it", length(base.body.height),
                                    length(base.body.wall.value_or(0)));
        const bool there = std::any_of(all.begin(), all.end(), [&](const PortFamily& f) {
            return sharedWallsOf(f.body) == walls && f.body.height == base.body.height &&
                   f.body.wall == base.body.wall && f.longestPiece == base.longestPiece;
        });
        if (there) return;  // from panels of other slots as high
    }
    all.push_back(std::move(base));
}

// What a group of families, alike but for their flares, has in common: by the fewest bends that a length needs.
struct Run {
    int bends = 0;
    double shortest = 0, longest = 0;
    double fewerReach = -1;           // as far as fewer bends go: those lengths are theirs
    std::optional<PlaceTable> table;  // nothing: such a port cannot be
    std::string whyNot;
};

std::vector<Run> runsOf(const PortFamily& plain, const SearchRequest& r, const Air& air, ModeSums& known)
{
    std::vector<Run> runs;
    double reached = r.space.wall;
    for (int bends = 0; bends <= r.space.mostBends; ++bends) {
        if (bends > 0 && !(plain.bendRadius > 0)) break;
        double longest = longestPort(plain.body, bends, plain.bendRadius, r.space);
        if (plain.longestPiece > 0) longest = std::min(longest, plain.longestPiece);
        const double shortest = std::max(reached, shortestPort(plain.body, bends, plain.bendRadius, r.space));
        if (longest < shortest) continue;
        Run run{bends, shortest, longest, runs.empty() ? -1 : reached, {}, {}};
        const Placing placing{plain.body, plain.bendRadius, r.space, air, bends, &known, r.tuningFrom, r.tuningTo};
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
    UnitSystem units;
    std::string length(double x) const { return formatQuantity(x, Dimension::length, units); }
    auto lengths(double a, double b) const { return compared(a, b, Dimension::length, units); }
    void tell(RejectedPorts::Reason reason, std::string why, double needed, double available, std::size_t n = 0) const
    {
        if (to) to->push_back({reason, familyName(family), std::move(why), needed, available, n});
    }
};

/// The shortest that tunes into the range with that many bends, and the longest that goes in with them: what a search
/// that allows them finds, if not by fewer.
std::optional<std::pair<double, double>> fittingWith(int bends, const Placing& fewer, const SearchRequest& r,
                                                     const PortFamily& f)
{
    const Placing placing{fewer.body, fewer.bendRadius, fewer.space, fewer.air, bends};
    double longest = longestPort(f.body, bends, f.bendRadius, r.space);
    if (f.longestPiece > 0) longest = std::min(longest, f.longestPiece);
    double shortest = std::max(r.space.wall, shortestPort(f.body, bends, f.bendRadius, r.space));
    for (int less = 0; less < bends; ++less)
        shortest = std::max(shortest, longestPort(f.body, less, f.bendRadius, r.space));
    if (longest < shortest || whyNot(placing, shortest)) return std::nullopt;
    if (whyNot(placing, longest)) longest = longestPossible(placing, shortest, longest);
    const auto slowness = [&](double length) { return placing.at(length).node.slowness; };
    const auto marked = [&](double length) { return std::ceil(length / r.lengthStep - 1e-9) * r.lengthStep; };
    const double wanted = 1 / (r.tuningTo * r.tuningTo);
    double low = shortest, high = longest, below = slowness(low), above = slowness(high);
    if (above < wanted) return std::nullopt;
    constexpr double near = 1e-5;                                          // m
    for (int i = 0; i < 20 && high - low > near && below < wanted; ++i) {  // 1/f^2 is nearly straight over the length
        const double line = low + (high - low) * (wanted - below) / (above - below);
        const double next = std::clamp(line + near / 2, low + near / 4, high - near / 4), there = slowness(next);
        (there < wanted ? low : high) = next;
        (there < wanted ? below : above) = there;
    }
    const double length = marked(below < wanted ? high : low);
    if (length > longest) return std::nullopt;
    constexpr double surely = 1e-3;  // as the search's tables are right to
    const double tuning = 1 / std::sqrt(slowness(length));
    const bool sure = tuning <= r.tuningTo * (1 - surely) || length + r.lengthStep <= longest;
    return sure && tuning >= r.tuningFrom * (1 + surely) ? std::optional(std::pair{length, longest}) : std::nullopt;
}

void tellTooLong(const Telling& telling, const Placing& placing, const SearchRequest& r, double longest)
{
    const PortFamily& f = telling.family;
    const auto enough = neededFor(r.tuningTo, placing, longest);
    if (!enough) {
        const auto [tunes, wanted] =
            compared(placing.at(longest).node.tuning(), r.tuningTo, Dimension::frequency, r.units);
        return telling.tell(RejectedPorts::Reason::tooHigh,
                            fmt::format("{} it tunes no lower than about {}, above the {} wanted at most: a longer one "
                                        "takes more of the cavity than it gains",
                                        bendWords(placing.bends), tunes, wanted),
                            0, 0);
    }
    const double needed = *enough;
    const bool onePiece = f.longestPiece > 0 && longest >= f.longestPiece * (1 - 1e-9);
    const auto [needs, there] = telling.lengths(needed, onePiece ? f.longestPiece : longest);
    const std::string first = fmt::format("{} it needs {} for {}, the highest tuning wanted", bendWords(placing.bends),
                                          needs, hertz(r.tuningTo));
    if (onePiece)
        return telling.tell(RejectedPorts::Reason::piece, fmt::format("{}, and one piece has {}", first, there), needed,
                            longest);
    std::string why = fmt::format("{}, and {} is the longest that fits", first, there);
    for (int bends = placing.bends + 1; bends <= 2 && f.bendRadius > 0; ++bends) {
        const auto fits = fittingWith(bends, placing, r, f);
        if (!fits) continue;
        why += fmt::format("; {} it fits, {} long where {} go in", bendWords(bends), telling.length(fits->first),
                           telling.length(fits->second));
        break;
    }
    if (!(f.bendRadius > 0)) why += "; the stock names no radius of bends for it";
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
        if (tooQuiet > 0) {
            const auto [best, wanted] = compared(loudest, *request.leastLevel, Dimension::level);
            t.tell(Reason::level,
                   fmt::format("at most {} clean at every frequency of the band, {} are wanted", best, wanted),
                   *request.leastLevel, loudest, tooQuiet);
        }
        if (tooHigh > 0) {
            const auto [best, wanted] = compared(lowestF3, *request.highestF3, Dimension::frequency);
            t.tell(Reason::f3,
                   std::isfinite(lowestF3) ? fmt::format("f3 is {} at best, {} or less is wanted", best, wanted)
                                           : fmt::format("it has no f3, {} or less is wanted", wanted),
                   *request.highestF3, lowestF3, tooHigh);
        }
        if (overLimit > 0)
            t.tell(Reason::limits,
                   fmt::format("at the feed in force a limit is passed by a factor of {} at best",
                               compared(leastOver, 1, Dimension::ratio).first),
                   1, leastOver, overLimit);
    }
};

template <class Use>
void eachCandidate(const FastModel& fast, const SearchRequest& r, const Air& air, const std::vector<Run>& runs,
                   ModeSums& known, const PortFamily& family, std::uint32_t index, const Telling& telling,
                   std::optional<SearchCandidate>* nearest, const Use& use)
{
    using Reason = RejectedPorts::Reason;
    if (const auto why = whyNoPlace(family.body, r.space, r.units)) return telling.tell(Reason::place, *why, 0, 0);
    if (runs.empty())
        return telling.tell(Reason::room,
                            fmt::format("with {} kept clear before its mouth there is no room left for it",
                                        telling.length(freeBefore(family.body, r.space))),
                            freeBefore(family.body, r.space), straightRun(r.space));
    const double flares = family.body.innerFlare.value_or(0) + family.body.outerFlare.value_or(0);
    const double airLimit = r.portAir.value_or(recommendedAirSpeed(family.body));
    double highest = 0;
    bool any = false;
    const Run* last = nullptr;
    double reached = 0;  // by the last
    std::optional<FastPort> bore;
    for (const Run& run : runs) {
        if (!run.table) {
            telling.tell(Reason::body, run.whyNot, 0, 0);
            continue;
        }
        const double least = std::max(flares, shortestPort(family.body, run.bends, family.bendRadius, r.space));
        if (run.longest < least) continue;
        const Placing placing{family.body, family.bendRadius, r.space,   air, run.bends,
                              &known,      r.tuningFrom,      r.tuningTo};
        double longest = run.longest;
        if (flares > 0) {  // the run is that of the plain tube: lips take room in the wall, and air
            if (const auto why = whyNot(placing, least)) {
                telling.tell(Reason::body, *why, 0, 0);
                continue;
            }
            if (whyNot(placing, longest)) longest = longestPossible(placing, least, longest);
        }
        last = &run, reached = longest;
        const PlaceTable table = flared(*run.table, placing);
        if (table.nodes.empty()) continue;
        for (const PlaceNode& node : table.nodes)
            highest = std::max(highest, node.tuning());
        double from = std::max({run.shortest, least, table.nodes.front().place.nominal});
        if (table.nodes.front().tuning() > r.tuningTo) {
            const auto there = crossing(table, r.tuningTo);
            if (!there) continue;
            from = std::max(from, *there);
        }
        bore = fastPortOf(placing.made(run.longest), table.ports.back(), airLimit, fast, bore ? &*bore : nullptr);
        FastResponse response(fast, *bore);
        // Whole steps from 0, so that all families are cut to the same marks.
        for (auto i = std::int64_t(std::ceil(from / r.lengthStep - 1e-9));; ++i) {
            const double length = double(i) * r.lengthStep;
            if (length > longest * (1 + 1e-12)) break;
            if (length <= run.fewerReach * (1 + 1e-12)) continue;
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
    if (highest < r.tuningFrom) {
        const auto [tunes, wanted] = compared(highest, r.tuningFrom, Dimension::frequency, r.units);
        return telling.tell(
            Reason::tooLow,
            fmt::format("even at its shortest it tunes to {}, below the {} wanted; more or wider tubes would", tunes,
                        wanted),
            r.tuningFrom, highest);
    }
    const auto longest = placing.at(reached);
    if (longest.node.tuning() <= r.tuningTo) return;  // no mark of the rule falls into the range
    if (family.flare.empty())
        tellTooLong(telling, placing, r, reached);
    else
        telling.tell(Reason::room, "even the longest that fits tunes above what is wanted", 0, reached);
    if (nearest) {
        FastResponse response(fast, fastPortOf(placing.made(reached), longest.port, airLimit, fast));
        *nearest = SearchCandidate{index, last->bends, reached, longest.node.tuning(), response.at(longest.node.place)};
    }
}

}  // namespace

std::string groupName(const PortFamily& f)
{
    const int n = countOf(f.body);
    return n > 1 ? fmt::format("{} x {}", n, f.material) : f.material;
}
std::vector<FamilyResult> searchGroup(const FastModel& fast, const SearchRequest& r, const Air& air,
                                      const std::vector<PortFamily>& families, std::size_t first, std::size_t end,
                                      ModeSums& known, Front& front)
{
    std::vector<FamilyResult> all;
    std::vector<Run> runs;  // what has no place even without flares needs no more reckoning
    if (!whyNoPlace(families[first].body, r.space)) runs = runsOf(families[first], r, air, known);
    for (std::size_t i = first; i < end; ++i) {
        FamilyResult found(r.aims);
        Front own(r.aims, front.least());  // small: most are beaten by their neighbours already
        const Telling telling{&found.rejected, families[i], r.units};
        Demands demands{r};
        eachCandidate(fast, r, air, runs, known, families[i], std::uint32_t(i), telling, &found.nearest,
                      [&](const SearchCandidate& c) {
                          ++found.candidates;
                          (demands.met(c.scores) ? own : found.failing).add(c);
                      });
        front.add(own);
        demands.tell(telling);
        all.push_back(std::move(found));
    }
    return all;
}

std::vector<std::size_t> groupsOf(const std::vector<PortFamily>& families)
{
    std::vector<std::size_t> begins;
    for (std::size_t i = 0; i < families.size(); ++i)
        if (families[i].flare.empty()) begins.push_back(i);
    begins.push_back(families.size());
    return begins;
}

}  // namespace searching

std::vector<PortFamily> familiesOf(const SearchRequest& request)
{
    std::vector<PortFamily> all;
    for (const StockTube& tube : request.stock.tubes) {
        PortFamily f;
        f.body.diameter = tube.bore, f.body.wall = tube.wall;
        f.material = tube.name, f.bendRadius = tube.bendRadius, f.longestPiece = tube.longest;
        searching::addFamilies(all, std::move(f), request);
    }
    for (const StockSlot& slot : request.stock.slotShapes) {
        PortFamily f;
        f.body.shape = PortShape::slot;
        f.body.width = slot.width, f.body.height = slot.height, f.body.wall = slot.wall;
        f.material = slot.name, f.longestPiece = slot.longest;
        f.bendRadius = slot.height + slot.wall;  // folded over its flat side
        for (int walls = 0; walls <= 3; ++walls) {
            if (std::find(request.sharedWalls.begin(), request.sharedWalls.end(), walls) == request.sharedWalls.end())
                continue;
            if (walls == 0)
                searching::addFamilies(all, f, request);
            else if (sizesKnown(request.space.empty))
                searching::addShared(all, f, walls, request);
        }
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
    ModeSums known;
    searching::eachCandidate(fast, request, air, searching::runsOf(families[plain], request, air, known), known,
                             families[family], family, searching::Telling{rejected, families[family], request.units},
                             nullptr, [&](const SearchCandidate& c) { list.push_back(c); });
    return list;
}

}  // namespace portwright
