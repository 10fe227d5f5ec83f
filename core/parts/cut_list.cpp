// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/cut_list.h"

#include "core/parts/shop_length.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <fmt/format.h>
#include <limits>
#include <numeric>

namespace portwright {
namespace {

using Nm = std::int64_t;  // whole nanometres: sums are exact
using Cost = std::int64_t;

constexpr Cost never = std::numeric_limits<Cost>::max() / 4;
constexpr std::size_t mostPieces = 10000;
constexpr double longest = 100;      // m
constexpr double widestKerf = 0.02;  // m

Nm nm(double metres) { return std::llround(metres * 1e9); }

/// Pieces one by one, longest first.
struct Piece {
    std::size_t kind;
    Nm length;
};
/// A stock length and how many bars of it there are.
struct Kind {
    Nm length;
    std::size_t count;
    bool endless;
};

struct Task {
    std::vector<Piece> pieces;
    std::vector<Kind> stock;  // shortest first
    Nm kerf = 0;

    /// Stock length first, number of bars second.
    Cost costOf(Nm bar) const { return bar * 64 + 1; }
};

Result<Task> taskOf(const std::vector<CutPiece>& wanted, const std::vector<Stock>& stock, double kerf)
{
    Task task;
    if (!(kerf >= 0 && kerf <= widestKerf))
        return fail("kerf", fmt::format("it is {} mm; allowed is 0 to 20 mm", kerf * 1e3));
    task.kerf = nm(kerf);
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        const CutPiece& piece = wanted[i];
        if (!(piece.length * 1e9 >= 1 && piece.length <= longest))
            return fail(piece.name,
                        fmt::format("a piece is {} mm long; allowed is above 0 to 100 000 mm", piece.length * 1e3));
        if (piece.count < 1 || task.pieces.size() + static_cast<std::size_t>(piece.count) > mostPieces)
            return fail(piece.name,
                        fmt::format("{} pieces are wanted; allowed is 1 to {} in all", piece.count, mostPieces));
        task.pieces.insert(task.pieces.end(), static_cast<std::size_t>(piece.count), {i, nm(piece.length)});
    }
    if (task.pieces.empty()) return fail("pieces", "there is no piece to cut");
    std::stable_sort(task.pieces.begin(), task.pieces.end(),
                     [](const Piece& a, const Piece& b) { return a.length > b.length; });
    for (const Stock& s : stock) {
        if (!(s.length * 1e9 >= 1 && s.length <= longest))
            return fail("stock",
                        fmt::format("a stock length is {} mm; allowed is above 0 to 100 000 mm", s.length * 1e3));
        if (s.count && (*s.count < 0 || *s.count > 1000))
            return fail("stock", fmt::format("{} bars of a length; allowed is 0 to 1000", *s.count));
        const std::size_t most = task.pieces.size();  // more bars than pieces are never cut
        task.stock.push_back(
            {nm(s.length), s.count ? std::min(static_cast<std::size_t>(*s.count), most) : most, !s.count});
    }
    std::erase_if(task.stock, [](const Kind& k) { return k.count == 0; });
    if (task.stock.empty()) return fail("stock", "there is no stock to cut from; name its length");
    std::stable_sort(task.stock.begin(), task.stock.end(),
                     [](const Kind& a, const Kind& b) { return a.length < b.length; });
    const Piece& first = task.pieces.front();
    if (first.length > task.stock.back().length)
        return fail(wanted[first.kind].name,
                    fmt::format("a piece of {} is longer than the longest stock, {}; get longer stock or join two",
                                shopLength(double(first.length) / 1e9),
                                shopLength(double(task.stock.back().length) / 1e9)));
    return task;
}

CutBar barOf(const Task& task, Nm stock, const std::vector<std::size_t>& which)
{
    CutBar bar{.stock = double(stock) / 1e9, .pieces = {}, .rest = 0};
    Nm taken = 0;
    for (const std::size_t i : which) {
        bar.pieces.push_back(task.pieces[i].kind);
        taken += task.pieces[i].length + task.kerf;
    }
    bar.rest = double(std::max<Nm>(stock - taken, 0)) / 1e9;
    return bar;
}

// --- All ways, by subsets ---

using Subset = std::uint32_t;

/// What a subset of the pieces takes of a bar.
std::vector<Nm> needs(const Task& task)
{
    std::vector<Nm> need(std::size_t{1} << task.pieces.size(), -task.kerf);  // one kerf fewer than pieces
    for (Subset set = 1; set < need.size(); ++set) {
        const auto lowest = static_cast<std::size_t>(std::countr_zero(set));
        need[set] = need[set & (set - 1)] + task.pieces[lowest].length + task.kerf;
    }
    return need;
}

/// Cheapest way to cut each subset, with the subset that the last bar takes and that bar.
struct Best {
    std::vector<Cost> cost;
    std::vector<Subset> taken;
    std::vector<Nm> bar;
    explicit Best(std::size_t subsets) : cost(subsets, never), taken(subsets, 0), bar(subsets, 0) { cost[0] = 0; }
};

Best fromEndlessStock(const Task& task, const std::vector<Nm>& need)
{
    std::vector<Nm> shortest(need.size(), 0);
    for (Subset set = 1; set < need.size(); ++set)
        for (const Kind& kind : task.stock)
            if (kind.endless && shortest[set] == 0 && need[set] <= kind.length) shortest[set] = kind.length;
    Best best(need.size());
    for (Subset set = 1; set < need.size(); ++set)
        for (Subset part = set; part; part = (part - 1) & set) {
            if (!(part & set & -set) || shortest[part] == 0) continue;  // the first piece is on this bar
            const Cost cost = best.cost[set ^ part] + task.costOf(shortest[part]);
            if (cost < best.cost[set]) best.cost[set] = cost, best.taken[set] = part, best.bar[set] = shortest[part];
        }
    return best;
}

/// One bar more: either it takes a part of each subset, or nothing.
Best withOneBar(const Task& task, const std::vector<Nm>& need, const Best& before, Nm bar)
{
    Best best = before;
    std::fill(best.taken.begin(), best.taken.end(), 0);
    for (Subset set = 1; set < need.size(); ++set)
        for (Subset part = set; part; part = (part - 1) & set) {
            if (need[part] > bar) continue;
            const Cost cost = before.cost[set ^ part] + task.costOf(bar);
            if (cost < best.cost[set]) best.cost[set] = cost, best.taken[set] = part, best.bar[set] = bar;
        }
    return best;
}

std::optional<std::vector<CutBar>> exactBars(const Task& task)
{
    const std::vector<Nm> need = needs(task);
    std::vector<Best> steps{fromEndlessStock(task, need)};
    for (const Kind& kind : task.stock)
        for (std::size_t i = 0; !kind.endless && i < kind.count; ++i)
            steps.push_back(withOneBar(task, need, steps.back(), kind.length));
    auto rest = static_cast<Subset>(need.size() - 1);
    if (steps.back().cost[rest] >= never) return std::nullopt;
    std::vector<CutBar> bars;
    const auto put = [&](Nm bar, Subset part) {
        std::vector<std::size_t> which;
        for (std::size_t i = 0; i < task.pieces.size(); ++i)
            if (part >> i & 1) which.push_back(i);
        bars.push_back(barOf(task, bar, which));
    };
    for (std::size_t step = steps.size() - 1; step > 0; --step)
        if (const Subset part = steps[step].taken[rest]) put(steps[step].bar[rest], part), rest ^= part;
    while (rest) {
        const Best& endless = steps.front();
        const Subset part = endless.taken[rest];
        put(endless.bar[rest], part), rest ^= part;
    }
    return bars;
}

// --- First fit, longest first ---

struct OpenBar {
    std::size_t kind;
    Nm filled = 0;  // pieces and the kerfs between them
    std::vector<std::size_t> which = {};
};

/// New bars are the longest there are, or the shortest that hold the piece.
std::optional<std::vector<OpenBar>> firstFit(const Task& task, bool openLongest)
{
    std::vector<std::size_t> left;
    left.reserve(task.stock.size());
    for (const Kind& kind : task.stock)
        left.push_back(kind.count);
    std::vector<OpenBar> bars;
    for (std::size_t i = 0; i < task.pieces.size(); ++i) {
        const Nm length = task.pieces[i].length;
        const auto fits = [&](const OpenBar& bar) {
            return bar.filled + task.kerf + length <= task.stock[bar.kind].length;
        };
        if (const auto bar = std::find_if(bars.begin(), bars.end(), fits); bar != bars.end()) {
            bar->filled += task.kerf + length, bar->which.push_back(i);
            continue;
        }
        std::optional<std::size_t> chosen;
        for (std::size_t k = 0; k < left.size(); ++k)
            if (left[k] > 0 && task.stock[k].length >= length && (openLongest || !chosen)) chosen = k;
        if (!chosen) return std::nullopt;
        --left[*chosen];
        bars.push_back({*chosen, length, {i}});
    }
    for (OpenBar& bar : bars)  // what was opened long may do with a shorter bar
        for (std::size_t k = 0; k < bar.kind; ++k)
            if (left[k] > 0 && task.stock[k].length >= bar.filled) {
                ++left[bar.kind], --left[k], bar.kind = k;
                break;
            }
    return bars;
}

std::optional<std::vector<CutBar>> fittedBars(const Task& task)
{
    std::optional<std::vector<CutBar>> best;
    double least = 0;
    for (const bool openLongest : {true, false}) {
        const auto open = firstFit(task, openLongest);
        if (!open) continue;
        std::vector<CutBar> bars;
        for (const OpenBar& bar : *open)
            bars.push_back(barOf(task, task.stock[bar.kind].length, bar.which));
        const double used = std::accumulate(bars.begin(), bars.end(), 0.0,
                                            [](double sum, const CutBar& bar) { return sum + bar.stock; });
        if (!best || used < least) best = std::move(bars), least = used;
    }
    return best;
}

/// Each bar gives at most its length and one kerf to pieces that need theirs and a kerf each.
double leastPossible(const Task& task)
{
    Nm wanted = 0;
    for (const Piece& piece : task.pieces)
        wanted += piece.length + task.kerf;
    const auto shortest = double(task.stock.front().length), kerf = double(task.kerf);
    double least = double(wanted) / (1 + kerf / shortest);
    if (task.stock.front().length == task.stock.back().length)  // whole bars
        least = std::max(least, std::ceil(double(wanted) / (shortest + kerf) - 1e-9) * shortest);
    return least / 1e9;
}

}  // namespace

Result<CutPlan> cutPlan(const std::vector<CutPiece>& pieces, const std::vector<Stock>& stock, double kerf)
{
    const auto task = taskOf(pieces, stock, kerf);
    if (!task) return fail(task.error());
    CutPlan plan;
    plan.exact = task->pieces.size() <= mostExactPieces;
    auto bars = plan.exact ? exactBars(*task) : fittedBars(*task);
    if (!bars) {
        const Nm wanted = std::accumulate(task->pieces.begin(), task->pieces.end(), Nm{0},
                                          [](Nm sum, const Piece& piece) { return sum + piece.length; });
        return fail("stock", fmt::format("the bars there are do not hold all {} pieces, {} in sum without kerf; {}",
                                         task->pieces.size(), shopLength(double(wanted) / 1e9),
                                         plan.exact ? "get more stock" : "get more stock, or fewer pieces at a time"));
    }
    plan.bars = std::move(*bars);
    for (const CutBar& bar : plan.bars)
        plan.used += bar.stock;
    plan.leastPossible = plan.exact ? plan.used : leastPossible(*task);
    return plan;
}

}  // namespace portwright
