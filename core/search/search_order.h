// SPDX-License-Identifier: GPL-3.0-or-later
// What is better than what: aims, the ports that no other beats, and one order for those that are shown. Internal to
// the search.
#pragma once

#include "core/search/search.h"

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
    /// `least`: dB of clean level that the best in a further aim must reach to be called so.
    explicit Front(const std::vector<Aim>& aims, double least = -std::numeric_limits<double>::infinity())
        : aims_(aims), champions_(aims.size()), useful_(aims.size()), least_(least)
    {
    }

    void add(const SearchCandidate& candidate);
    void add(const Front& other);

    /// All of them in a fixed order, best in an aim included.
    std::vector<SearchCandidate> all() const;
    std::size_t undominated() const { return kept_.size(); }
    /// The best in each aim, of the further ones among those that reach `least`.
    const std::vector<std::optional<SearchCandidate>>& champions() const
    {
        return std::isfinite(least_) ? useful_ : champions_;
    }
    double least() const { return least_; }

private:
    using Key = std::array<double, 5>;
    enum class Relation { beats, beaten, same, neither };
    struct Kept {
        Key key;
        SearchCandidate candidate;
    };
    std::vector<Aim> aims_;
    std::vector<Kept> kept_;
    std::vector<std::optional<SearchCandidate>> champions_, useful_;
    double least_;
    void addToBest(std::vector<std::optional<SearchCandidate>>& bests, const SearchCandidate& candidate, bool all);

    Relation relation(const Key& a, const Key& b) const;

    bool isBetter(const SearchCandidate& a, const SearchCandidate& b, std::size_t aim) const;
};

/// What an aim's places are measured by: of a front, the best and the difference to the worst.
struct AimScale {
    double best = 0, span = 1;
    double placeOf(double value) const;  ///< 0 to 1; 1 where the value is infinite
};
std::vector<AimScale> scalesOf(const std::vector<SearchCandidate>& front, const std::vector<Aim>& aims);
inline constexpr double nextAimCounts = 0.4;  ///< of the aim before it
/// The sum of places by which a front is ordered, and its parts without their weights.
double placeSumOf(const std::vector<double>& places);
std::vector<double> placesOf(const SearchCandidate& candidate, const std::vector<AimScale>& scales,
                             const std::vector<Aim>& aims);

/// All of a front in one order, best first: the sum over the aims of where each stands between the best of the front,
/// 0, and the worst, 1; the first aim counts whole, each next one 0.4 of the one before. The measure is the whole front
/// and the quick evaluator's figures, which all candidates have: figures of the whole model are there only for what is
/// shown, and an order by them would change with how many that are.
std::vector<SearchCandidate> inOrder(std::vector<SearchCandidate> front, const std::vector<Aim>& aims);

}  // namespace portwright::searching
