// SPDX-License-Identifier: GPL-3.0-or-later
// Which pieces to saw from which bar.
#pragma once

#include "core/result.h"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace portwright {

struct Stock {
    double length = 0;         ///< m
    std::optional<int> count;  ///< 0..1000 bars of it; absent: as many as wanted
    bool operator==(const Stock&) const = default;
};

struct CutPiece {
    std::string name;   ///< "tube"
    double length = 0;  ///< m
    int count = 1;
    bool operator==(const CutPiece&) const = default;
};

struct CutBar {
    double stock = 0;                 ///< m
    std::vector<std::size_t> pieces;  ///< places in the list of pieces, longest first
    double rest = 0;                  ///< m left after the last cut, 0 where the blade takes it
};

struct CutPlan {
    std::vector<CutBar> bars;
    bool exact = false;        ///< no plan uses less stock (nor, of those, fewer bars); else first fit, longest first
    double used = 0;           ///< m of stock, all bars
    double leastPossible = 0;  ///< m: no plan can use less than this
};

inline constexpr std::size_t mostExactPieces = 12;  ///< up to so many all ways are tried, by subsets

/// Bars with n pieces hold their lengths and n-1 kerfs; a last cut is only needed where something is left.
/// Least total stock length, then fewest bars. Lengths are taken to the nanometre, so that three pieces of 100 mm fit
/// 300 mm exactly. Errors: no piece, no stock, lengths not above 0 (or above 100 m), kerf outside 0..20 mm, more than
/// 10 000 pieces, a piece longer than any stock, too little stock.
Result<CutPlan> cutPlan(const std::vector<CutPiece>& pieces, const std::vector<Stock>& stock, double kerf);

}  // namespace portwright
