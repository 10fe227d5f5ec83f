// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/search_shown.h"

#include "core/port/air_speed.h"
#include "core/port/classical.h"
#include "core/port/separation.h"
#include "core/response/summary.h"
#include "core/search/band_grid.h"
#include "core/search/port_lengths.h"
#include "core/search/search_threads.h"
#include "core/search/search_words.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace portwright::searching {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

std::string wordsFor(const PortFamily& f, const SearchCandidate& c, UnitSystem units)
{
    std::string words = groupName(f) + ", " + formatQuantity(c.length, Dimension::length, units);
    constexpr double hardlyATube = 1.5e-3;
    if (c.length <= hardlyATube && c.bends == 0 && f.flare.empty()) words += ": a hole of that size";
    if (c.bends > 0) words += c.bends == 1 ? ", one bend" : ", two bends";
    return f.flare.empty() ? words : words + ", " + f.flare;
}

std::string wordsFor(const PortOpening& port, UnitSystem units)
{
    const auto length = [units](double x) { return formatQuantity(x, Dimension::length, units); };
    const int n = countOf(port);
    std::string words = n > 1 ? fmt::format("{} x ", n) : "";
    words += port.shape == PortShape::round ? length(port.diameter) + " bore"
                                            : "slot " + length(port.width) + " x " + length(port.height);
    words += ", " + length(port.length);
    if (!port.bends.empty())
        words += port.bends.size() == 1 ? ", one bend" : fmt::format(", {} bends", port.bends.size());
    if (port.innerFlare.value_or(0) > 0 || port.outerFlare.value_or(0) > 0) words += ", flared";
    return words;
}

// What the whole model says of the port `index` in it: level, limits and the rest over a finer grid.
Result<void> reckon(FoundPort& f, Model m, int index, const SearchRequest& r)
{
    f.airLimit = m.portAirLimit = r.portAir.value_or(recommendedAirSpeed(f.port));
    f.netVolume = m.housing.cavity.netVolume;
    const auto tuning = tuningOf(m);
    f.tuning = tuning.value_or(0), f.f3 = f3Of(m, tuning).value_or(0);
    const BandGrid band = bandGrid(r.band);
    const auto curves = curvesOf(m, band.grid);
    if (!curves) return fail(curves.error());
    const LimitCurves limits = limitsOf(m, *curves);
    f.loudest = infinity;
    double high = -infinity, low = infinity;
    for (Eigen::Index i = band.from; i <= band.to; ++i) {
        high = std::max(high, curves->level[i]), low = std::min(low, curves->level[i]);
        if (limits.loudest[i] >= f.loudest) continue;
        f.loudest = limits.loudest[i];
        f.limit = limits.limit[std::size_t(i)];
        f.limitAt = band.grid.frequency[i];
    }
    f.ripple = high - low;
    f.travel = curves->coneTravel.maxCoeff();
    for (std::size_t i = 0; i < curves->portAir.size(); ++i)
        if (curves->portOpening[i] == index) f.airSpeed = curves->portAir[i].maxCoeff();
    if (m.driver.Xmax) {
        const double bore = startingBore(f.tuning, m.driverCount * m.driver.driver.Sd * *m.driver.Xmax);
        f.smallestArea = pi * bore * bore / 4;
    }
    return {};
}

Result<FoundPort> fully(const Model& base, int opening, const SearchRequest& r, const PortFamily& family,
                        const SearchCandidate& c)
{
    FoundPort f;
    f.port = madePort(family.body, c.length, c.bends, family.bendRadius, r.space);
    f.words = wordsFor(family, c, r.units);
    f.material = family.material, f.flare = family.flare;
    f.bends = c.bends;
    f.scores = c.scores;
    const int index = opening < 0 ? int(base.housing.openings.size()) : opening;
    if (auto done = reckon(f, withPort(base, opening, r.space, f.port), index, r); !done) return fail(done.error());
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

bool isSame(const SearchCandidate& a, const SearchCandidate& b)
{
    return a.family == b.family && a.bends == b.bends && a.length == b.length;
}

std::string showValue(const FoundPort& f, Aim aim, UnitSystem units)
{
    switch (aim) {
    case Aim::loudest:
        return decibels(f.loudest);
    case Aim::lowestF3:
        return f.f3 > 0 ? hertz(f.f3) : "no f3";
    case Aim::flattest:
        return decibels(f.ripple);
    case Aim::leastTravel:
        return formatQuantity(f.travel, Dimension::travel, units);
    case Aim::shortest:
        return formatQuantity(f.port.length, Dimension::length, units);
    }
    return {};
}

std::string againstFirst(const FoundPort& f, const FoundPort& first, Aim aim, UnitSystem units)
{
    const double by = fullValue(f, aim) - fullValue(first, aim);
    if (!std::isfinite(by) || std::abs(by) < differenceThatCounts(aim)) return {};
    const bool less = by < 0;
    switch (aim) {
    case Aim::loudest:
        return decibels(std::abs(by)) + (less ? " louder" : " less loud");
    case Aim::lowestF3:
        if (!(f.f3 > 0) || !(first.f3 > 0)) return f.f3 > 0 ? "an f3 where the first has none" : "no f3";
        return fmt::format("f3 {:.1f}\u00A0Hz", std::abs(by)) + (less ? " lower" : " higher");
    case Aim::flattest:
        return decibels(std::abs(by)) + (less ? " flatter" : " less flat");
    case Aim::leastTravel:
        return formatQuantity(std::abs(by), Dimension::travel, units) + (less ? " less travel" : " more travel");
    case Aim::shortest:
        return formatQuantity(std::abs(by), Dimension::length, units) + (less ? " shorter" : " longer");
    }
    return {};
}

double mouthOf(const FoundPort& f) { return countOf(f.port) * areaOf(f.port); }

// "ranked by 0.31: loudest 0.12, f3 0.30 x 0.4, short 0.44 x 0.16 (0 is the best found, 1 the worst)"
std::string rankWords(const FoundPort& f, const std::vector<Aim>& aims)
{
    std::string parts;
    double weight = 1;
    for (std::size_t a = 0; a < aims.size(); ++a, weight *= nextAimCounts) {
        parts += fmt::format("{}{} {:.2f}", a > 0 ? ", " : "", nameOf(aims[a]), f.places[a]);
        if (a > 0) parts += fmt::format(" x {:.2g}", weight);
    }
    return fmt::format("{} {:.2f}: {} (0 is the best found, 1 the worst)",
                       f.asExtreme ? "behind the order as the best in one aim, by" : "ranked by", f.placeSum, parts);
}

// Straight slots that stand inside are less exact than other ports (tests/data/slot_tuning.csv); shelves are not.
bool isRougher(const PortOpening& port)
{
    return port.shape == PortShape::slot && insideOf(port) > 0 && sharedWallsOf(port) < 3 && port.bends.empty();
}

// What is told of one, `first` of the ranking or against it.
void giveReasons(FoundPort& f, const FoundPort& first, const SearchRequest& r, double least)
{
    for (Aim aim : f.bestAt)
        f.reasons.push_back(aim == r.aims.front() || !std::isfinite(least)
                                ? fmt::format("{} of all found: {}", wordsOf(aim), showValue(f, aim, r.units))
                                : fmt::format("{} of those as loud as without a port ({}): {}", wordsOf(aim),
                                              decibels(least), showValue(f, aim, r.units)));
    if (&f != &first) {
        std::string trade;
        for (Aim aim : r.aims)
            if (const std::string part = againstFirst(f, first, aim, r.units); !part.empty())
                trade += (trade.empty() ? "" : ", ") + part;
        f.reasons.push_back(trade.empty() ? "as good as the first in all that was asked"
                                          : "against the first: " + trade);
    } else if (r.aims.size() > 1) {
        f.reasons.push_back(
            fmt::format("the best of the aims together, in which \"{}\" counts most", wordsOf(r.aims.front())));
    }
    f.reasons.push_back(rankWords(f, r.aims));
    if (const auto mouth = bentMouthOf(f.port, r.space))
        f.reasons.push_back("drill its mouth " +
                            wordsOf(*mouth, formatQuantity(mouth->fromWall, Dimension::length, r.units)));
    f.reasons.push_back(f.limit == LimitKind::none
                            ? "nothing limits it in the band"
                            : fmt::format("{} is what stops it, at {}", nameOf(f.limit), hertz(f.limitAt)));
    f.reasons.push_back(fmt::format("{} net with it in place, {} without it",
                                    formatQuantity(f.netVolume, Dimension::volume, r.units),
                                    formatQuantity(r.space.empty.netVolume, Dimension::volume, r.units)));
    if (isRougher(f.port))
        f.reasons.push_back("slots that stand inside are reckoned within 0.5\u00A0% of finite-element results, not "
                            "closer: cut it long and trim it");
}

bool isSmall(const FoundPort& f) { return f.smallestArea > 0 && mouthOf(f) < f.smallestArea; }

}  // namespace

Chosen chosen(const Front& front, const SearchRequest& r)
{
    std::vector<SearchCandidate> order;
    for (const SearchCandidate& c : inOrder(front.all(), r.aims))
        if (std::none_of(order.begin(), order.end(), [&](const SearchCandidate& s) {
                return s.family == c.family && std::abs(s.length / c.length - 1) < 0.1;
            }))
            order.push_back(c);
    const auto bestsBeyond = [&](std::size_t first) {
        std::vector<SearchCandidate> bests;
        const auto in = [](const auto& begin, const auto& end, const SearchCandidate& c) {
            return std::any_of(begin, end, [&](const SearchCandidate& s) { return isSame(s, c); });
        };
        for (const auto& best : front.champions())
            if (best && !in(order.begin(), order.begin() + std::ptrdiff_t(first), *best) &&
                !in(bests.begin(), bests.end(), *best))
                bests.push_back(*best);
        return bests;
    };
    std::size_t first = std::min(r.show, order.size());
    while (first > 1 && first + bestsBeyond(first).size() > r.show)
        --first;
    const std::vector<SearchCandidate> bests = bestsBeyond(first);
    order.resize(first);
    for (std::size_t i = 0; i < bests.size() && order.size() < r.show; ++i)
        order.push_back(bests[i]);
    return {std::move(order), first};
}

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
    // What nearly fits first.
    const auto missed = [](const RejectedPorts& r) {
        return r.needed > 0 && r.available > 0 ? std::max(r.needed / r.available, r.available / r.needed) : infinity;
    };
    std::stable_sort(all.begin(), all.end(),
                     [&](const RejectedPorts& a, const RejectedPorts& b) { return missed(a) < missed(b); });
    return all;
}

Result<std::vector<FoundPort>> shownFully(const Model& model, int opening, const SearchRequest& r,
                                          const std::vector<PortFamily>& families,
                                          const std::vector<SearchCandidate>& list, const Watch& watch)
{
    std::vector<Result<FoundPort>> reckoned(list.size());
    const auto worker = [&]() -> std::function<void(std::size_t)> {
        return [&](std::size_t i) { reckoned[i] = fully(model, opening, r, families[list[i].family], list[i]); };
    };
    if (!onThreads(list.size(), r.threads, worker, watch, "reckoning those shown", reckoningPart, 1))
        return cancelledWork();
    std::vector<FoundPort> found;
    for (Result<FoundPort>& port : reckoned) {
        if (!port) return fail(port.error());
        found.push_back(std::move(*port));
    }
    return found;
}

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
    few.show = std::min(most, r.show);
    std::vector<SearchCandidate> list = chosen(failing, few).list;
    std::stable_sort(longest.begin(), longest.end(), [](const SearchCandidate& a, const SearchCandidate& b) {
        return a.tuning != b.tuning ? a.tuning < b.tuning : a.family < b.family;
    });
    for (std::size_t i = 0; i < std::min(few.show, longest.size()); ++i)
        list.push_back(longest[i]);
    return list;
}

Result<FoundPort> presentPort(const Model& model, int opening, const SearchRequest& r, const FastModel& fast)
{
    FoundPort f;
    f.port = std::get<PortOpening>(model.housing.openings[std::size_t(opening)].kind);
    f.words = wordsFor(f.port, r.units);
    f.bends = int(f.port.bends.size());
    if (auto done = reckon(f, model, opening, r); !done) return fail(done.error());
    const double radius = f.bends > 0 ? f.port.bends.front().radius : 0;
    PortSpace space = r.space;
    space.wall = 0, space.outside = f.port.length - insideOf(f.port);  // what stands outside already needs no room
    if (const double longest = longestPort(f.port, f.bends, radius, space); f.port.length > longest + 1e-6) {
        const auto [is, most] = compared(f.port.length, longest, Dimension::length, r.units);
        f.reasons.push_back(fmt::format("it is {} long, and {} is the longest that fits what is asked for", is, most));
    }
    if (separationOf(f.port) == 0)
        f.reasons.push_back("its loss is given and the same at every level, so that, unlike those found, it gives up "
                            "nothing as it plays louder");
    CavityRoom room = r.space.empty;
    room.netVolume = f.netVolume;
    const PortInCavity placed = portInCavity(f.port, room, model.air);
    f.scores = FastResponse(fast, fastPortOf(f.port, placed, f.airLimit, fast)).at(placeOf(placed, f.port.length));
    return f;
}

void giveReasons(std::vector<FoundPort>& ranked, const Chosen& shown, const Front& front, const SearchRequest& r)
{
    const std::vector<AimScale> scales = scalesOf(front.all(), r.aims);
    const std::vector<SearchCandidate>& list = shown.list;
    for (std::size_t i = 0; i < ranked.size(); ++i) {
        ranked[i].places = placesOf(list[i], scales, r.aims);
        ranked[i].placeSum = placeSumOf(ranked[i].places);
        ranked[i].asExtreme = i >= shown.inOrder;
        for (std::size_t a = 0; a < r.aims.size(); ++a)
            if (const auto& best = front.champions()[a]; best && isSame(*best, list[i]))
                ranked[i].bestAt.push_back(r.aims[a]);
        giveReasons(ranked[i], ranked.front(), r, front.least());
    }
    if (mouthNote(ranked, r.units)) return;
    for (FoundPort& f : ranked)
        if (isSmall(f))
            f.reasons.push_back(fmt::format("{} of mouth where Small's rule asks for {}: it will be heard first here",
                                            formatQuantity(mouthOf(f), Dimension::area, r.units),
                                            formatQuantity(f.smallestArea, Dimension::area, r.units)));
}

std::optional<std::string> mouthNote(const std::vector<FoundPort>& ranked, UnitSystem units)
{
    if (ranked.size() < 2 || !std::all_of(ranked.begin(), ranked.end(), isSmall)) return std::nullopt;
    const auto range = [&](const auto& of) {
        double low = infinity, high = 0;
        for (const FoundPort& f : ranked)
            low = std::min(low, of(f)), high = std::max(high, of(f));
        const std::string least = formatQuantity(low, Dimension::area, units);
        const std::string most = formatQuantity(high, Dimension::area, units);
        return least == most ? least : least + " to " + most;
    };
    return fmt::format("All the ports shown have less mouth ({}) than Small's rule asks for ({}): they will be heard "
                       "first.",
                       range(mouthOf), range([](const FoundPort& f) { return f.smallestArea; }));
}

void addCompromiseWords(std::vector<FoundPort>& list, const SearchRequest& r)
{
    for (FoundPort& f : list) {
        if (f.tuning > r.tuningTo) {
            const auto [tunes, wanted] = compared(f.tuning, r.tuningTo, Dimension::frequency);
            f.reasons.push_back(
                fmt::format("the longest that fits tunes to {}, above the {} wanted at most", tunes, wanted));
        }
        if (r.leastLevel && f.loudest < *r.leastLevel) {
            const auto [is, wanted] = compared(f.loudest, *r.leastLevel, Dimension::level);
            f.reasons.push_back(fmt::format("{} clean where {} are wanted", is, wanted));
        }
        if (r.highestF3 && !(f.f3 > 0 && f.f3 <= *r.highestF3)) {
            const auto [is, wanted] = compared(f.f3, *r.highestF3, Dimension::frequency);
            f.reasons.push_back(fmt::format("f3 {} where {} is wanted", f.f3 > 0 ? is : "none", wanted));
        }
        if (r.cleanAtFeed && f.airSpeed > f.airLimit) {
            const auto [is, most] = compared(f.airSpeed, f.airLimit, Dimension::airSpeed, r.units);
            f.reasons.push_back(fmt::format("port air {} at the feed in force, {} is its limit", is, most));
        }
    }
}

}  // namespace portwright::searching
