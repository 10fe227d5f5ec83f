// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/search_order.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace portwright {

namespace searching {

double valueOf(const SearchCandidate& c, Aim aim)
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

namespace {

std::array<double, 5> boxOf(const SearchCandidate& c, const std::vector<Aim>& aims)
{
    std::array<double, 5> key{};
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

}  // namespace

void Front::addToBest(std::vector<std::optional<SearchCandidate>>& bests, const SearchCandidate& c, bool all)
{
    for (std::size_t i = 0; i < (all ? aims_.size() : std::min<std::size_t>(1, aims_.size())); ++i) {
        auto& best = bests[i];
        if (!best || isBetter(c, *best, i)) best = c;
    }
}

void Front::add(const SearchCandidate& c)
{
    addToBest(champions_, c, true);
    if (std::isfinite(least_)) addToBest(useful_, c, c.scores.loudest >= least_);
    const Key key = boxOf(c, aims_);
    for (std::size_t i = 0; i < kept_.size(); ++i) {
        const Relation r = relation(key, kept_[i].key);
        if (r == Relation::beaten) {
            std::swap(kept_[i], kept_[i / 2]);  // what beats one mostly beats the next: it is asked sooner
            return;
        }
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

void Front::add(const Front& other)
{
    for (const Kept& k : other.kept_)
        add(k.candidate);
    for (const auto* bests : {&other.champions_, &other.useful_})
        for (const auto& c : *bests)
            if (c) add(*c);
}

std::vector<SearchCandidate> Front::all() const
{
    std::vector<SearchCandidate> list;
    list.reserve(kept_.size() + champions_.size());
    for (const Kept& k : kept_)
        list.push_back(k.candidate);
    for (const auto* bests : {&champions_, &useful_})
        for (const auto& c : *bests)
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

Front::Relation Front::relation(const Key& a, const Key& b) const
{
    bool better = false, worse = false;
    for (std::size_t i = 0; i < aims_.size(); ++i)
        better |= a[i]<b[i], worse |= a[i]> b[i];
    if (better) return worse ? Relation::neither : Relation::beats;
    return worse ? Relation::beaten : Relation::same;
}

bool Front::isBetter(const SearchCandidate& a, const SearchCandidate& b, std::size_t aim) const
{
    const double x = valueOf(a, aims_[aim]), y = valueOf(b, aims_[aim]);
    return x != y ? x < y : before(a, b, aims_);
}

double AimScale::placeOf(double value) const { return std::isfinite(value) ? (value - best) / span : 1; }

std::vector<AimScale> scalesOf(const std::vector<SearchCandidate>& front, const std::vector<Aim>& aims)
{
    std::vector<AimScale> scales;
    for (Aim aim : aims) {
        double low = std::numeric_limits<double>::infinity(), high = -low;
        for (const SearchCandidate& c : front)
            if (const double v = valueOf(c, aim); std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
        scales.push_back(low <= high ? AimScale{low, std::max(high - low, differenceThatCounts(aim))} : AimScale{});
    }
    return scales;
}

std::vector<double> placesOf(const SearchCandidate& candidate, const std::vector<AimScale>& scales,
                             const std::vector<Aim>& aims)
{
    std::vector<double> places;
    places.reserve(aims.size());
    for (std::size_t a = 0; a < aims.size(); ++a)
        places.push_back(scales[a].placeOf(valueOf(candidate, aims[a])));
    return places;
}

double placeSumOf(const std::vector<double>& places)
{
    double sum = 0, weight = 1;
    for (double place : places)
        sum += weight * place, weight *= nextAimCounts;
    return sum;
}

std::vector<SearchCandidate> inOrder(std::vector<SearchCandidate> front, const std::vector<Aim>& aims)
{
    const std::vector<AimScale> scales = scalesOf(front, aims);
    std::vector<double> sums;
    sums.reserve(front.size());
    for (const SearchCandidate& c : front)
        sums.push_back(placeSumOf(placesOf(c, scales, aims)));
    std::vector<std::size_t> order(front.size());
    std::iota(order.begin(), order.end(), std::size_t(0));
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return sums[a] < sums[b]; });
    std::vector<SearchCandidate> sorted;
    sorted.reserve(front.size());
    for (std::size_t i : order)
        sorted.push_back(front[i]);
    return sorted;
}

}  // namespace searching

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

std::vector<SearchCandidate> undominated(const std::vector<SearchCandidate>& candidates, const std::vector<Aim>& aims)
{
    searching::Front front(aims);
    for (const SearchCandidate& c : candidates)
        front.add(c);
    return front.all();
}

}  // namespace portwright
