// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/mesh_surface.h"

#include <algorithm>
#include <fmt/format.h>
#include <utility>

namespace portwright {
namespace {

constexpr std::size_t polled = 65536;  // a cancel is heard after so many points or faces: some 20 ms

constexpr std::uint32_t nextOf(std::uint32_t h) { return h % 3 == 2 ? h - 2 : h + 1; }

std::uint32_t startOf(const Mesh& mesh, std::uint32_t h) { return mesh.triangles[h / 3][h % 3]; }
std::uint32_t endOf(const Mesh& mesh, std::uint32_t h) { return startOf(mesh, nextOf(h)); }

/// All half-edges, those along one edge side by side: sorted by their lower point by counting, then each handful by
/// the higher one. Three times as fast as sorting them all. Cancelled: empty.
std::vector<std::uint32_t> byEdge(const Mesh& mesh, const Watch& watch)
{
    const auto halfEdges = static_cast<std::uint32_t>(3 * mesh.triangles.size());
    std::vector<std::uint32_t> first(mesh.points.size() + 1, 0), order(halfEdges);
    const auto low = [&](std::uint32_t h) { return std::min(startOf(mesh, h), endOf(mesh, h)); };
    const auto high = [&](std::uint32_t h) { return std::max(startOf(mesh, h), endOf(mesh, h)); };
    for (std::uint32_t h = 0; h < halfEdges; ++h)
        ++first[low(h) + 1];
    for (std::size_t i = 1; i < first.size(); ++i)
        first[i] += first[i - 1];
    std::vector<std::uint32_t> next(first.begin(), first.end() - 1);
    if (isCancelled(watch)) return {};
    for (std::uint32_t h = 0; h < halfEdges; ++h)
        order[next[low(h)]++] = h;
    for (std::size_t i = 0; i + 1 < first.size(); ++i) {
        if (i % polled == 0 && isCancelled(watch)) return {};
        std::sort(order.begin() + first[i], order.begin() + first[i + 1],
                  [&](std::uint32_t a, std::uint32_t b) { return std::pair{high(a), a} < std::pair{high(b), b}; });
    }
    return order;
}

/// Calls for each edge with the run of half-edges along it.
template <class Visit> void eachEdge(const Mesh& mesh, const std::vector<std::uint32_t>& order, const Visit& visit)
{
    const auto same = [&](std::uint32_t a, std::uint32_t b) {
        return std::minmax({startOf(mesh, a), endOf(mesh, a)}) == std::minmax({startOf(mesh, b), endOf(mesh, b)});
    };
    for (std::size_t from = 0, to = 0; from < order.size(); from = to) {
        while (to < order.size() && same(order[from], order[to]))
            ++to;
        visit(order.data() + from, to - from);
    }
}

std::size_t removeDegenerate(Mesh& mesh)
{
    return std::erase_if(mesh.triangles,
                         [](const Triangle& t) { return t[0] == t[1] || t[1] == t[2] || t[2] == t[0]; });
}

/// Of triangles with the same three corners the first stays, whichever way round they are.
std::size_t removeDuplicates(Mesh& mesh, const std::vector<std::uint32_t>& order)
{
    std::vector<bool> gone(mesh.triangles.size(), false);
    bool any = false;
    const auto opposite = [&](std::uint32_t h) { return endOf(mesh, nextOf(h)); };
    eachEdge(mesh, order, [&](const std::uint32_t* run, std::size_t count) {
        if (count < 2) return;
        std::vector<std::pair<std::uint32_t, std::uint32_t>> seen;  // a crowd of faces on one edge stays n log n
        seen.reserve(count);
        for (std::size_t i = 0; i < count; ++i)
            seen.emplace_back(opposite(run[i]), run[i] / 3);
        std::sort(seen.begin(), seen.end());
        for (std::size_t i = 1; i < count; ++i)
            if (seen[i].first == seen[i - 1].first) gone[seen[i].second] = any = true;
    });
    if (!any) return 0;
    std::size_t kept = 0;
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
        if (!gone[t]) mesh.triangles[kept++] = mesh.triangles[t];
    const std::size_t removed = mesh.triangles.size() - kept;
    mesh.triangles.resize(kept);
    return removed;
}

enum class Labelled { all, oneSided, cancelled };

/// Labels the pieces that hang together by mates. Turns, if asked, neighbours to one sense by flagging them.
Labelled labelPieces(Surface& s, std::vector<bool>* turned, const Watch& watch)
{
    const auto triangles = static_cast<std::uint32_t>(s.mesh.triangles.size());
    s.piece.assign(triangles, noMate);
    s.pieces = 0;
    std::vector<std::uint32_t> todo, members;
    std::size_t steps = 0;
    for (std::uint32_t seed = 0; seed < triangles; ++seed) {
        if (s.piece[seed] != noMate) continue;
        s.piece[seed] = s.pieces;
        todo.assign(1, seed);
        members.clear();
        std::size_t turns = 0;
        while (!todo.empty()) {
            if (steps++ % polled == 0 && isCancelled(watch)) return Labelled::cancelled;
            const std::uint32_t t = todo.back();
            todo.pop_back();
            if (turned) members.push_back(t);
            for (std::uint32_t h = 3 * t; h < 3 * t + 3; ++h) {
                if (s.mate[h] == noMate) continue;
                const std::uint32_t u = s.mate[h] / 3;
                const bool against = startOf(s.mesh, h) == startOf(s.mesh, s.mate[h]);
                if (s.piece[u] == noMate) {
                    s.piece[u] = s.pieces;
                    todo.push_back(u);
                    if (!turned) continue;
                    (*turned)[u] = (*turned)[t] != against;
                    if ((*turned)[u]) ++turns;
                } else if (turned && (*turned)[u] != ((*turned)[t] != against)) {
                    return Labelled::oneSided;
                }
            }
        }
        ++s.pieces;
        if (2 * turns > members.size()) {  // most were as the file had them, so it is the others that turn
            turns = members.size() - turns;
            for (const std::uint32_t t : members)
                (*turned)[t] = !(*turned)[t];
        }
        s.turnedFaces += turns;
    }
    return Labelled::all;
}

/// Turns the flagged triangles: corners 1 and 2 change places, and half-edges 0 and 2 with them.
void turnFaces(Surface& s, const std::vector<bool>& turned)
{
    const auto moved = [&](std::uint32_t h) { return turned[h / 3] ? 3 * (h / 3) + 2 - h % 3 : h; };
    for (std::uint32_t t = 0; t < s.mesh.triangles.size(); ++t) {
        if (!turned[t]) continue;
        std::swap(s.mesh.triangles[t][1], s.mesh.triangles[t][2]);
        std::swap(s.mate[3 * t], s.mate[3 * t + 2]);
    }
    for (std::uint32_t& h : s.mate)
        if (h != noMate) h = moved(h);
}

/// Where more than two faces meet, those that run opposite ways become neighbours, first within a piece.
void pairCrowded(Surface& s, const std::vector<std::uint32_t>& crowd)
{
    std::vector<std::uint32_t> ways[2];
    for (const std::uint32_t h : crowd)
        ways[startOf(s.mesh, h) < endOf(s.mesh, h) ? 0 : 1].push_back(h);
    const auto pieceOf = [&](std::uint32_t h) { return s.piece[h / 3]; };
    const auto join = [&](std::uint32_t a, std::uint32_t b) {
        s.mate[a] = b;
        s.mate[b] = a;
    };
    for (auto& way : ways)
        std::sort(way.begin(), way.end(), [&](auto a, auto b) { return pieceOf(a) < pieceOf(b); });
    for (std::size_t i = 0, k = 0; i < ways[0].size() && k < ways[1].size();) {
        const std::uint32_t a = ways[0][i], b = ways[1][k];
        if (pieceOf(a) == pieceOf(b)) join(a, b);
        i += pieceOf(a) <= pieceOf(b) ? 1 : 0;
        k += pieceOf(b) <= pieceOf(a) ? 1 : 0;
    }
    for (auto& way : ways)
        std::erase_if(way, [&](std::uint32_t h) { return s.mate[h] != noMate; });
    for (std::size_t i = 0; i < std::min(ways[0].size(), ways[1].size()); ++i)
        join(ways[0][i], ways[1][i]);
}

}  // namespace

Result<Surface> surfaceOf(Mesh mesh, const Watch& watch)
{
    Surface s;
    s.degenerateFaces = removeDegenerate(mesh);
    if (mesh.triangles.empty()) return fail("", "no face is left: all have two corners in one place");
    report(watch, 0.05, "finding neighbours");
    std::vector<std::uint32_t> order = byEdge(mesh, watch);
    if (isCancelled(watch)) return cancelledWork();
    s.duplicateFaces = removeDuplicates(mesh, order);
    if (s.duplicateFaces > 0) order = byEdge(mesh, watch);
    if (isCancelled(watch)) return cancelledWork();

    report(watch, 0.5, "finding neighbours");
    s.mesh = std::move(mesh);
    s.mate.assign(3 * s.mesh.triangles.size(), noMate);
    std::vector<std::vector<std::uint32_t>> crowds;
    eachEdge(s.mesh, order, [&](const std::uint32_t* run, std::size_t count) {
        if (count == 2) {
            s.mate[run[0]] = run[1];
            s.mate[run[1]] = run[0];
        } else if (count > 2) {
            crowds.emplace_back(run, run + count);
        }
    });
    s.crowdedEdges = crowds.size();
    if (isCancelled(watch)) return cancelledWork();

    report(watch, 0.7, "turning faces to one sense");
    std::vector<bool> turned(s.mesh.triangles.size(), false);
    const Labelled labelled = labelPieces(s, &turned, watch);
    if (labelled == Labelled::oneSided)
        return fail("", "the surface has one side only, as a strip with a half twist has, so nothing is inside it");
    if (labelled == Labelled::cancelled) return cancelledWork();
    turnFaces(s, turned);
    if (crowds.empty()) return s;
    // Half-edges of turned faces have moved within their triangle.
    for (std::vector<std::uint32_t>& crowd : crowds) {
        for (std::uint32_t& h : crowd)
            if (turned[h / 3]) h = 3 * (h / 3) + 2 - h % 3;
        pairCrowded(s, crowd);
    }
    if (labelPieces(s, nullptr, watch) == Labelled::cancelled) return cancelledWork();
    return s;
}

namespace {

/// The next half-edge along the rim: around its end point, from face to face, to the one without a neighbour.
std::uint32_t alongRim(const Surface& s, std::uint32_t h)
{
    std::uint32_t next = nextOf(h);
    while (s.mate[next] != noMate)
        next = nextOf(s.mate[next]);
    return next;
}

/// Cuts a closed walk wherever it comes back to a point.
void cutAtRepeats(const Surface& s, const std::vector<std::uint32_t>& walk, std::vector<std::uint32_t>& depthOf,
                  std::vector<Rim>& rims)
{
    std::vector<std::uint32_t> open;  // half-edges not yet in a rim; depthOf[point] - 1 is where one starts there
    for (const std::uint32_t h : walk) {
        depthOf[startOf(s.mesh, h)] = static_cast<std::uint32_t>(open.size()) + 1;
        open.push_back(h);
        const std::uint32_t depth = depthOf[endOf(s.mesh, h)];
        if (depth == 0) continue;
        Rim rim{.points = {}, .halfEdges = {open.begin() + (depth - 1), open.end()}, .piece = s.piece[h / 3]};
        open.resize(depth - 1);
        for (const std::uint32_t edge : rim.halfEdges) {
            rim.points.push_back(startOf(s.mesh, edge));
            depthOf[rim.points.back()] = 0;
        }
        if (rim.points.size() > 2) rims.push_back(std::move(rim));
    }
}

}  // namespace

std::vector<Rim> rimsOf(const Surface& surface)
{
    std::vector<Rim> rims;
    std::vector<bool> seen(surface.mate.size(), false);
    std::vector<std::uint32_t> walk, depthOf(surface.mesh.points.size(), 0);
    for (std::uint32_t start = 0; start < surface.mate.size(); ++start) {
        if (surface.mate[start] != noMate || seen[start]) continue;
        walk.clear();
        for (std::uint32_t h = start; !seen[h]; h = alongRim(surface, h)) {
            seen[h] = true;
            walk.push_back(h);
        }
        cutAtRepeats(surface, walk, depthOf, rims);
    }
    return rims;
}

}  // namespace portwright
