// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/sizing.h"

#include "core/response/summary.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

std::string hertz(double f) { return formatQuantity(f, Dimension::frequency); }
std::string millimetres(double x) { return formatQuantity(x, Dimension::length); }

// Flares and bends are part of the length.
double shortestOf(const PortOpening& port)
{
    return port.innerFlare.value_or(0) + port.outerFlare.value_or(0) + arcLength(port);
}

constexpr double longestTaken = 3;  // m, what the project file allows

// The longest length that the cavity still has room for, to 0.1 mm.
double longestPossible(const TuningOfCut& cut)
{
    if (!cut.whyNot(cut.longest)) return cut.longest;
    double fits = cut.shortest, not_ = cut.longest;
    while (not_ - fits > 1e-4) {
        const double middle = (fits + not_) / 2;
        (cut.whyNot(middle) ? not_ : fits) = middle;
    }
    return fits;
}

double tuningOr0(const TuningOfCut& cut, double length) { return cut.tuning({length, 1, 0}).value_or(0); }

// Between two lengths of which one tunes above and one at or below, to 1e-12 m: bisection, since the flush and the
// reaching end of a tube may meet in a small step.
double between(const TuningOfCut& cut, double first, double second, double tuning)
{
    const bool firstAbove = tuningOr0(cut, first) > tuning;
    for (int i = 0; i < 60 && std::abs(second - first) > 1e-12; ++i) {
        const double middle = (first + second) / 2;
        ((tuningOr0(cut, middle) > tuning) == firstAbove ? first : second) = middle;
    }
    return (first + second) / 2;
}

// Where the tuning is lowest between two lengths, by golden section.
double lowestBetween(const TuningOfCut& cut, double low, double high)
{
    constexpr double golden = 0.381966;
    double a = low + golden * (high - low), b = high - golden * (high - low);
    double fa = tuningOr0(cut, a), fb = tuningOr0(cut, b);
    for (int i = 0; i < 60 && high - low > 1e-9; ++i) {
        if (fa <= fb) {
            high = b, b = a, fb = fa;
            a = low + golden * (high - low), fa = tuningOr0(cut, a);
        } else {
            low = a, a = b, fa = fb;
            b = high - golden * (high - low), fb = tuningOr0(cut, b);
        }
    }
    return (low + high) / 2;
}

// A port that can be, and has no tuning.
std::string frictionWords(double wanted, double lowest, double length)
{
    const std::string found = lowest > 0 ? fmt::format("the lowest found is {}, and ", hertz(lowest)) : std::string();
    return fmt::format("no length gives {}: {}at {} of length friction in so narrow a bore leaves no tuning; use a "
                       "wider bore",
                       hertz(wanted), found, millimetres(length));
}

SizedPort sized(const TuningOfCut& cut, double length)
{
    constexpr double step = 1e-4;  // m
    const double low = std::max(cut.shortest, length - step), high = std::min(cut.longest, length + step);
    SizedPort port{length, tuningOr0(cut, length), 0};
    const auto below = cut.tuning({low, 1, 0}), above = cut.tuning({high, 1, 0});
    if (below && above && high > low) port.tuningPerLength = (*above - *below) / (high - low);
    return port;
}

}  // namespace

CavityRoom roomWith(CavityRoom empty, const PortOpening& port)
{
    empty.netVolume -= outlineVolume(port);
    return empty;
}

TuningOfCut tuningOfCut(const PortOpening& port, const CavityRoom& empty, const Air& air)
{
    TuningOfCut cut;
    cut.shortest = shortestOf(port);
    cut.longest = longestTaken;
    cut.whyNot = [port, empty](double length) {
        const PortOpening p = cutTo(port, length);
        return whyImpossible(p, roomWith(empty, p));
    };
    cut.tuning = [port, empty, air](const Cut& c) -> std::optional<double> {
        const PortOpening p = cutTo(port, c.length);
        CavityRoom room = roomWith(empty, p);
        room.netVolume *= c.volume;
        if (whyImpossible(p, room)) return std::nullopt;
        PortInCavity reckoned = portInCavity(p, room, air);
        reckoned.length += c.end;
        return tuningOf(reckoned);
    };
    return cut;
}

namespace {

// With the port away, its place taken by air. Only where all that breathes are ports of its own cavity: each then adds
// its mass beside that of the others, so that all together tune higher than any part of them.
std::optional<double> tuningOfOthers(const Model& model, int opening, double empty)
{
    Housing housing = model.housing;
    if (housing.secondCavity) return std::nullopt;
    for (const Opening& o : housing.openings)
        if (std::holds_alternative<PassiveRadiator>(o.kind)) return std::nullopt;
    housing.openings.erase(housing.openings.begin() + opening);
    housing.cavity.netVolume = empty;
    return tuningOf(withHousing(model, housing));
}

}  // namespace

TuningOfCut tuningOfCut(const Model& model, int opening)
{
    const auto& given = std::get<PortOpening>(model.housing.openings[std::size_t(opening)].kind);
    const double empty = cavityOf(model.housing, opening).netVolume + outlineVolume(given);
    TuningOfCut cut;
    cut.shortest = shortestOf(given);
    cut.longest = longestTaken;
    const auto housingWith = [model, opening, given, empty](const Cut& c) {
        Housing housing = model.housing;
        PortOpening p = cutTo(given, c.length);
        cavityOf(housing, opening).netVolume = (empty - outlineVolume(p)) * c.volume;
        housing.openings[std::size_t(opening)].kind = std::move(p);
        return housing;
    };
    cut.whyNot = [housingWith, opening](double length) {
        const Housing housing = housingWith({length, 1, 0});
        return whyImpossible(std::get<PortOpening>(housing.openings[std::size_t(opening)].kind),
                             roomOf(cavityOf(housing, opening)));
    };
    cut.tuning = [model, housingWith, opening, whyNot = cut.whyNot](const Cut& c) -> std::optional<double> {
        if (whyNot(c.length)) return std::nullopt;
        Housing housing = housingWith(c);
        std::get<PortOpening>(housing.openings[std::size_t(opening)].kind).length += c.end;
        return tuningOf(withHousing(model, housing));
    };
    cut.others = tuningOfOthers(model, opening, empty);
    return cut;
}

Result<SizedPort> lengthFor(double tuning, const TuningOfCut& cut)
{
    if (!(tuning > 0) || !std::isfinite(tuning)) return fail("tuning", "a tuning must be above 0 Hz");
    if (const auto why = cut.whyNot(cut.shortest)) return fail("port", *why);
    if (cut.others && tuning <= *cut.others)
        return fail("tuning", fmt::format("no length gives {}: the other ports of this cavity alone tune to {}, and "
                                          "one more only raises that; make those longer or narrower, or close them",
                                          hertz(tuning), hertz(*cut.others)));
    const double shortest = cut.shortest, longest = longestPossible(cut);
    constexpr int steps = 60;
    const auto place = [&](int i) { return shortest + (longest - shortest) * double(i * i) / (steps * steps); };
    double before = tuningOr0(cut, shortest), lowest = before, highest = before, highestYet = before;
    if (!(before > 0)) return fail("tuning", frictionWords(tuning, before, shortest));
    int lowestAt = 0;
    for (int i = 1; i <= steps; ++i) {
        const double f = tuningOr0(cut, place(i));
        if (!(f > 0) && !cut.whyNot(place(i))) return fail("tuning", frictionWords(tuning, lowest, place(i)));
        if (!(f > 0)) break;
        // Only where it falls: a port that fills the cavity tunes higher and higher again, and is none to build.
        if (before > tuning && f <= tuning) return sized(cut, between(cut, place(i - 1), place(i), tuning));
        highestYet = std::max(highestYet, f);
        if (f < lowest) lowest = f, lowestAt = i, highest = highestYet;
        before = f;
    }
    if (highest <= tuning)
        return fail("tuning",
                    fmt::format("no length gives {}: the highest tuning is {}, with {} of length; use a wider "
                                "bore or more tubes",
                                hertz(tuning), hertz(highest), millimetres(shortest)));
    // The turn, from where on a longer port takes more than it gains, may lie between two of these.
    const double turn = lowestBetween(cut, place(std::max(lowestAt - 1, 0)), place(std::min(lowestAt + 1, steps)));
    lowest = std::min(lowest, tuningOr0(cut, turn));
    if (lowest <= tuning) return sized(cut, between(cut, place(std::max(lowestAt - 1, 0)), turn, tuning));
    const std::string why =
        longest >= longestTaken ? "the longest tube taken" : "a longer one takes more of the cavity than it gains";
    return fail(
        "tuning",
        fmt::format("no length gives {}: the lowest is {} with {}, {}; use a narrower bore or fewer tubes, or a "
                    "larger cavity",
                    hertz(tuning), hertz(lowest), millimetres(turn), why));
}

Result<SizedPort> tuningAt(double length, const TuningOfCut& cut)
{
    if (!(length >= 0) || !std::isfinite(length)) return fail("length", "a length must be 0 mm or more");
    if (length < cut.shortest)
        return fail("length", fmt::format("the length is {}; flares and bends alone take {}", millimetres(length),
                                          millimetres(cut.shortest)));
    if (length > cut.longest)
        return fail("length", fmt::format("the length is {}; the longest taken is {}", millimetres(length),
                                          millimetres(cut.longest)));
    if (const auto why = cut.whyNot(length)) return fail("length", *why);
    if (!cut.tuning({length, 1, 0}))
        return fail("length", "friction in so narrow a bore leaves no tuning; use a wider or a shorter one");
    return sized(cut, length);
}

double tuningSpread(const SizedPort& port, double tolerance) { return std::abs(port.tuningPerLength) * tolerance; }

}  // namespace portwright
