// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/cut_list.h"

#include "tests/core/parts/random_port.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

constexpr double rounding = 1e-8;  // m: the plan reckons in nanometres

/// Least stock length by trying every bar for every piece: an own sum, for few pieces only.
struct BruteForce {
    std::vector<double> pieces;
    std::vector<Stock> stock;
    double kerf;
    std::vector<double> bars = {}, filled = {};
    double best = std::numeric_limits<double>::infinity();

    void place(std::size_t i, double used)
    {
        if (i == pieces.size()) {
            best = std::min(best, used);
            return;
        }
        for (std::size_t b = 0; b < bars.size(); ++b)
            if (filled[b] + kerf + pieces[i] <= bars[b] + rounding) {
                filled[b] += kerf + pieces[i];
                place(i + 1, used);
                filled[b] -= kerf + pieces[i];
            }
        for (Stock& s : stock) {
            if (pieces[i] > s.length + rounding || (s.count && *s.count == 0)) continue;
            if (s.count) --*s.count;
            bars.push_back(s.length), filled.push_back(pieces[i]);
            place(i + 1, used + s.length);
            bars.pop_back(), filled.pop_back();
            if (s.count) ++*s.count;
        }
    }
};

/// Every piece is cut once, and every bar holds what is cut from it.
bool sound(const CutPlan& plan, const std::vector<CutPiece>& pieces, double kerf)
{
    std::vector<int> left;
    for (const CutPiece& piece : pieces)
        left.push_back(piece.count);
    double used = 0;
    for (const CutBar& bar : plan.bars) {
        double taken = -kerf;
        for (const std::size_t i : bar.pieces)
            taken += pieces[i].length + kerf, --left[i];
        const double rest = std::max(bar.stock - taken - kerf, 0.0);
        if (bar.pieces.empty() || taken > bar.stock + rounding || std::abs(rest - bar.rest) > rounding) return false;
        used += bar.stock;
    }
    return std::all_of(left.begin(), left.end(), [](int n) { return n == 0; }) && std::abs(used - plan.used) < rounding;
}

std::string refusal(const std::vector<CutPiece>& pieces, const std::vector<Stock>& stock, double kerf)
{
    const auto plan = cutPlan(pieces, stock, kerf);
    return plan ? "" : plan.error().message;
}

}  // namespace

TEST_CASE("three pieces of 100 mm fit 300 mm without kerf, and 304 mm with one of 2 mm, to the tenth of a millimetre")
{
    const std::vector<CutPiece> pieces{{"tube", 0.1, 3}};
    CHECK(cutPlan(pieces, {{0.3, {}}}, 0)->bars.size() == 1);
    CHECK(cutPlan(pieces, {{0.304, {}}}, 2e-3)->bars.size() == 1);
    CHECK(cutPlan(pieces, {{0.3039, {}}}, 2e-3)->bars.size() == 2);
    CHECK(cutPlan(pieces, {{0.32, {}}}, 2e-3)->bars[0].rest == Approx(0.014));
}

TEST_CASE("of several stock lengths the plan takes the least in sum, not the fewest bars")
{
    const auto plan = cutPlan({{"tube", 0.45, 2}}, {{1.5, {}}, {0.5, {}}}, 2e-3);
    REQUIRE(plan);
    CHECK(plan->used == Approx(1.0));
    CHECK(plan->bars.size() == 2);
    const auto one = cutPlan({{"tube", 0.45, 2}}, {{1.0, {}}, {0.5, {}}}, 2e-3);  // equal sums: the fewer bars
    CHECK(one->bars.size() == 1);
}

TEST_CASE("an exact plan is the best of all that brute force finds")
{
    rc::prop("up to five pieces, two stock lengths, one of them with few bars", [] {
        std::vector<CutPiece> pieces;
        BruteForce all{{}, {}, between(0, 40, 1e-4)};
        for (int n = *rc::gen::inRange(1, 6); n > 0; --n) {
            pieces.push_back({"piece", between(50, 500, 1e-3), 1});
            all.pieces.push_back(pieces.back().length);
        }
        all.stock = {{between(300, 900, 1e-3), {}}, {between(300, 900, 1e-3), *rc::gen::inRange(0, 4)}};
        const auto plan = cutPlan(pieces, all.stock, all.kerf);
        all.place(0, 0);
        RC_ASSERT(plan.has_value() == std::isfinite(all.best));
        if (!plan) return;
        RC_ASSERT(plan->exact);
        RC_ASSERT(sound(*plan, pieces, all.kerf));
        RC_ASSERT(std::abs(plan->used - all.best) < rounding);
    });
}

TEST_CASE("many pieces go by first fit: within 11/9 of the best and two thirds of a bar (Dosa 2007)")
{
    rc::prop("bars cut up without kerf, so that the best is known", [] {
        const int bars = *rc::gen::inRange(5, 12);
        std::vector<CutPiece> pieces;
        for (int bar = 0; bar < bars; ++bar)
            for (int left = 1000; left > 0;) {
                const int piece = std::min(*rc::gen::inRange(100, 600), left);
                pieces.push_back({"piece", piece * 1e-3, 1});
                left -= piece;
            }
        RC_PRE(pieces.size() > mostExactPieces);
        const auto plan = cutPlan(pieces, {{1.0, {}}}, 0);
        RC_ASSERT(plan.has_value());
        RC_ASSERT(!plan->exact);
        RC_ASSERT(sound(*plan, pieces, 0));
        RC_ASSERT(std::abs(plan->leastPossible - bars) < 1e-6);  // the pieces fill the bars
        RC_ASSERT(9 * int(plan->bars.size()) <= 11 * bars + 6);
    });
    rc::prop("with kerf and two stock lengths no plan claims less than is possible", [] {
        std::vector<CutPiece> pieces{{"a", between(50, 400, 1e-3), *rc::gen::inRange(5, 20)},
                                     {"b", between(50, 400, 1e-3), *rc::gen::inRange(8, 20)}};
        const double kerf = between(0, 40, 1e-4);
        const auto plan = cutPlan(pieces, {{between(400, 900, 1e-3), {}}, {between(400, 900, 1e-3), {}}}, kerf);
        RC_ASSERT(plan.has_value());
        RC_ASSERT(sound(*plan, pieces, kerf));
        RC_ASSERT(plan->used >= plan->leastPossible - rounding);
    });
}

TEST_CASE("a list that cannot be cut is refused with what was found and what would help")
{
    const double nan = std::numeric_limits<double>::quiet_NaN();
    CHECK(refusal({}, {{1, {}}}, 0) == "there is no piece to cut");
    CHECK(refusal({{"tube", 0.5, 1}}, {}, 0) == "there is no stock to cut from; name its length");
    CHECK(refusal({{"tube", 0.5, 1}}, {{1, 0}}, 0) == "there is no stock to cut from; name its length");
    CHECK(refusal({{"tube", -0.1, 1}}, {{1, {}}}, 0) == "a piece is -100 mm long; allowed is above 0 to 100 000 mm");
    CHECK(refusal({{"tube", nan, 1}}, {{1, {}}}, 0) == "a piece is nan mm long; allowed is above 0 to 100 000 mm");
    CHECK(refusal({{"tube", 0.1, 0}}, {{1, {}}}, 0) == "0 pieces are wanted; allowed is 1 to 10000 in all");
    CHECK(refusal({{"tube", 0.1, 1}}, {{nan, {}}}, 0) == "a stock length is nan mm; allowed is above 0 to 100 000 mm");
    CHECK(refusal({{"tube", 0.1, 1}}, {{1, {}}}, 0.05) == "it is 50 mm; allowed is 0 to 20 mm");
    CHECK(refusal({{"tube", 0.52, 1}}, {{0.5, {}}}, 0) ==
          "a piece of 520.0\u00A0mm is longer than the longest stock, 500.0\u00A0mm; get longer stock or join two");
    CHECK(refusal({{"tube", 0.3, 3}}, {{0.5, 2}}, 0) ==
          "the bars there are do not hold all 3 pieces, 900.0\u00A0mm in sum without kerf; get more stock");
}
