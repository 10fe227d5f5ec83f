// SPDX-License-Identifier: GPL-3.0-or-later
// What is better than what: aims, the ports that no other beats, and one order for those that are shown. Internal to
// the search.
#pragma once

#include "core/port/search.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

namespace portwright::searching {

double valueOf(const SearchCandidate& candidate, Aim aim);  ///< less is better
double differenceThatCounts(Aim aim);                       ///< less is none

/// The undominated so far, and the best in each aim.
class Front {
public:
    explicit Front(const std::vector<Aim>& aims) : aims_(aims), champions_(aims.size()) {}

    void add(const SearchCandidate& candidate);
    void add(const Front& other);

    /// All of them in a fixed order, best in an aim included.
    std::vector<SearchCandidate> all() const;
    std::size_t undominated() const { return kept_.size(); }
    const std::vector<std::optional<SearchCandidate>>& champions() const { return champions_; }

private:
    using Key = std::array<double, 5>;
    enum class Relation { beats, beaten, same, neither };
    struct Kept {
        Key key;
        SearchCandidate candidate;
    };
    std::vector<Aim> aims_;
    std::vector<Kept> kept_;
    std::vector<std::optional<SearchCandidate>> champions_;

    Relation relation(const Key& a, const Key& b) const;

    bool isBetter(const SearchCandidate& a, const SearchCandidate& b, std::size_t aim) const;
};

/// Each aim from 0, the best of all, to 1, the worst; the first counts whole, each next one 0.4 of the one before.
template <class Item, class Value>
std::vector<double> weighed(const std::vector<Item>& items, const std::vector<Aim>& aims, const Value& value)
{
    std::vector<double> sums(items.size(), 0);
    double weight = 1;
    for (Aim aim : aims) {
        double low = std::numeric_limits<double>::infinity(), high = -std::numeric_limits<double>::infinity();
        for (const Item& item : items)
            if (const double v = value(item, aim); std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
        const double span = std::max(high - low, differenceThatCounts(aim));
        for (std::size_t i = 0; i < items.size(); ++i) {
            const double v = value(items[i], aim);
            sums[i] += weight * (std::isfinite(v) ? (v - low) / span : 1);
        }
        weight *= 0.4;
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
    sorted.reserve(items.size());
    for (std::size_t i : order)
        sorted.push_back(std::move(items[i]));
    items = std::move(sorted);
}

}  // namespace portwright::searching
