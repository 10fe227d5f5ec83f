// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/search.h"

#include "core/cavity/shape.h"
#include "core/search/search_candidates.h"
#include "core/search/search_shown.h"
#include "core/search/search_threads.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <list>
#include <mutex>

namespace portwright {

namespace {

using searching::FamilyResult, searching::Front, searching::searchGroup, searching::groupsOf, searching::onThreads,
    searching::reckoningPart;

struct Searched {
    std::vector<FamilyResult> families;
    Front front;  // of all of them
};

// All families, on several threads; nothing where it was cancelled.
std::optional<Searched> searchFamilies(const FastModel& fast, const SearchRequest& r, const Air& air,
                                       const std::vector<PortFamily>& families, double least, const Watch& watch)
{
    Searched all{std::vector<FamilyResult>(families.size(), FamilyResult(r.aims)), Front(r.aims, least)};
    const std::vector<std::size_t> begins = groupsOf(families);
    std::mutex mutex;
    std::list<Front> fronts;  // each thread's own: what is best does not depend on the order in which it is found
    const auto worker = [&]() -> std::function<void(std::size_t)> {
        const std::lock_guard lock(mutex);
        Front& front = fronts.emplace_back(r.aims, least);
        return [&, known = ModeSums()](std::size_t i) mutable {
            std::vector<FamilyResult> some =
                searchGroup(fast, r, air, families, begins[i], begins[i + 1], known, front);
            std::move(some.begin(), some.end(), all.families.begin() + std::ptrdiff_t(begins[i]));
        };
    };
    if (!onThreads(begins.size() - 1, r.threads, worker, watch, "reckoning ports", 0, reckoningPart))
        return std::nullopt;
    for (const Front& front : fronts)
        all.front.add(front);
    return all;
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
    if (r.sharedWalls.empty())
        return fail("shared", "0 to 3 walls may be shared with the cavity; none of these is asked for");
    for (int walls : r.sharedWalls)
        if (walls < 0 || walls > 3)
            return fail("shared", fmt::format("{} walls shared with the cavity; allowed are 0 to 3", walls));
    if (r.space.mostBends < 0 || r.space.mostBends > 2)
        return fail("bends", fmt::format("{} bends; allowed are 0 to 2", r.space.mostBends));
    if (!within(r.lengthStep, 1e-5, 0.1))
        return fail("step",
                    fmt::format("the step of length is {:g} mm; allowed are 0.01 to 100 mm", r.lengthStep * 1e3));
    if (r.show < 1) return fail("show", "0 ports are to be shown; at least 1 is");
    if (r.stock.tubes.empty() && r.stock.slotShapes.empty())
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
    if (!r.portAir && !r.airByFlares) r.portAir = model.portAirLimit;
    return r;
}

// Slots against the cavity's walls are reckoned in boxes.
bool knowsWalls(const Model& model, const PortSpace& space)
{
    const Cavity& cavity = model.housing.cavity;
    return sizesKnown(space.empty) && (cavity.measurements.empty() || !shapeOf(cavity, {}));
}

bool asksForWalls(const SearchRequest& r)
{
    return std::any_of(r.sharedWalls.begin(), r.sharedWalls.end(), [](int walls) { return walls > 0; });
}

// The clean level looks at the band alone; what the cone does below it at the feed in force is another matter.
void addTravelNote(SearchResult& found, const Model& model, UnitSystem units)
{
    if (!model.driver.Xmax) return;
    double farthest = 0;
    for (const FoundPort& f : found.ranked) {
        found.pastTravel += f.travel > *model.driver.Xmax ? 1 : 0;
        farthest = std::max(farthest, f.travel);
    }
    if (found.pastTravel == 0) return;
    std::string text =
        fmt::format("At the feed in force the cone passes its {} with {} of the {} ports shown, by up to "
                    "{} of travel",
                    formatQuantity(*model.driver.Xmax, Dimension::travel, units), found.pastTravel, found.ranked.size(),
                    formatQuantity(farthest, Dimension::travel, units));
    if (model.driver.Xmech && farthest > *model.driver.Xmech)
        text += fmt::format(", beyond the {} at which it is stopped",
                            formatQuantity(*model.driver.Xmech, Dimension::travel, units));
    found.notes.push_back(text + ": below its tuning a port no longer holds the cone. A high-pass belongs before the "
                                 "amplifier, or less voltage; clean counts what happens in the band alone.");
}

using searching::mouthNote;

void addNotes(SearchResult& found, const Model& model, const SearchRequest& asked)
{
    const Cavity& cavity = model.housing.cavity;
    if (!sizesKnown(asked.space.empty))
        found.notes.push_back("The cavity's sizes are not known: it is taken for a compact box of its volume. Width, "
                              "breadth and depth say more.");
    if (asksForWalls(asked) && !knowsWalls(model, asked.space))
        found.notes.push_back("Slots that share walls with the cavity are tried only in a box whose width, breadth and "
                              "depth are known.");
    if (!cavity.measurements.empty() && shapeOf(cavity, {}))
        found.notes.push_back("The ranking takes the cavity for a box of its volume and depth; the ports shown are "
                              "reckoned again in its measured shape.");
    if (!cavity.measurements.empty())
        found.notes.push_back(fmt::format("Net volumes are those with the port in place: of the {} that the cavity has "
                                          "without it, what the port takes inside is off.",
                                          formatQuantity(asked.space.empty.netVolume, Dimension::volume, asked.units)));
    addTravelNote(found, model, asked.units);
    if (auto note = mouthNote(found.ranked, asked.units)) found.notes.push_back(std::move(*note));
    found.notes.push_back(
        "The ranking has travel and ripple as they are at a small signal; the figures shown are those "
        "at the feed in force.");
}

}  // namespace

Result<SearchResult> searchPorts(const Model& model, int opening, const SearchRequest& request, const Watch& watch)
{
    using namespace searching;
    if (opening >= int(model.housing.openings.size()) ||
        (opening >= 0 && !std::holds_alternative<PortOpening>(model.housing.openings[std::size_t(opening)].kind)))
        return fail("opening", fmt::format("opening {} is no port of this housing", opening + 1));
    if (opening >= 0 && model.housing.openings[std::size_t(opening)].cavity == CavityId::second)
        return fail("opening", "that port is in the second cavity; ports are looked for in the main one");
    auto r = checked(request, model);
    if (!r) return fail(r.error());
    if (!knowsWalls(model, r->space)) std::erase_if(r->sharedWalls, [](int walls) { return walls > 0; });
    Model bare = model;
    if (opening >= 0) {
        Housing housing = model.housing;
        housing.openings.erase(housing.openings.begin() + opening);
        bare = withHousing(model, housing);
    }
    const auto made = fastModelOf(bare, r->band);
    if (!made) return fail(made.error());
    const FastModel& fast = *made;
    const std::vector<PortFamily> families = familiesOf(*r);
    // A hole that is worse than none in what counts most is no extreme to compare with.
    const double least = r->aims.front() == Aim::loudest ? loudestWithout(model, opening, r->space, r->band)
                                                         : -std::numeric_limits<double>::infinity();
    const auto all = searchFamilies(fast, *r, model.air, families, least, watch);
    if (!all) return cancelledWork();

    SearchResult found;
    for (const FamilyResult& one : all->families)
        found.candidates += one.candidates;
    found.undominated = all->front.undominated();
    found.rejected = told(families, all->families);
    const Chosen list = chosen(all->front, *r);
    auto ranked = shownFully(model, opening, *r, families, list.list, watch);
    if (!ranked) return fail(ranked.error());
    giveReasons(*ranked, list, all->front, *r);
    found.ranked = std::move(*ranked);
    if (found.ranked.empty()) {
        auto nearest = shownFully(model, opening, *r, families, nearestOf(all->families, *r), watch);
        if (!nearest) return fail(nearest.error());
        addCompromiseWords(*nearest, *r);
        found.compromises = std::move(*nearest);
        found.otherWays =
            otherWays(model, opening, r->space, r->band, std::sqrt(r->tuningFrom * r->tuningTo), r->units);
    }
    if (opening >= 0) {
        if (auto present = presentPort(model, opening, *r, fast))
            found.present = std::move(*present);
        else
            found.notes.push_back("The port there is now cannot be reckoned: " + present.error().message + ".");
    }
    addNotes(found, model, request);
    return found;
}

}  // namespace portwright
