// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/mesh_formats.h"

#include "core/cavity/text_words.h"
#include "core/mesh/hash_slots.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <fmt/format.h>

namespace portwright {
namespace {

constexpr std::size_t stlHead = 84, stlFacet = 50;

/// Gives each place in space one point.
class PointTable {
public:
    PointTable(std::size_t corners, std::vector<Point3>& points) : slots_(corners), points_(points) {}

    std::uint32_t placeOf(const Point3& p)
    {
        std::uint64_t hash = 0;
        for (const double x : p)
            hash = (hash ^ std::bit_cast<std::uint64_t>(x + 0.0)) * 0xff51afd7ed558ccdu;  // + 0.0: no negative zero
        const auto next = static_cast<std::uint32_t>(points_.size());
        const std::uint32_t place =
            slots_.placeOf(hash ^ hash >> 32, next, [&](std::uint32_t i) { return points_[i] == p; });
        if (place == next) points_.push_back(p);
        return place;
    }

private:
    HashSlots slots_;
    std::vector<Point3>& points_;
};

std::uint32_t littleEndian(const char* at)
{
    std::uint32_t value = 0;
    for (int i = 3; i >= 0; --i)
        value = value << 8 | static_cast<unsigned char>(at[i]);
    return value;
}

}  // namespace

bool isBinaryStl(std::string_view bytes)
{
    return bytes.size() >= stlHead && bytes.size() == stlHead + stlFacet * std::size_t{littleEndian(&bytes[80])};
}

Result<Mesh> meshFromBinaryStl(std::string_view bytes, const Watch& watch)
{
    if (bytes.size() < stlHead)
        return fail("", fmt::format("a binary STL file has at least {} bytes, and this has {}", stlHead, bytes.size()));
    const std::size_t count = littleEndian(&bytes[80]);
    if (!isBinaryStl(bytes))
        return fail("", fmt::format("the file has {} bytes, but the {} triangles that its head counts take {}; it was "
                                    "cut short or is no binary STL",
                                    bytes.size(), count, stlHead + stlFacet * count));
    if (count == 0) return fail("", "the file holds no triangle");
    Mesh mesh;
    mesh.triangles.reserve(count);
    mesh.points.reserve(count / 2 + 3);
    PointTable table(3 * count, mesh.points);
    for (std::size_t i = 0; i < count; ++i) {
        if (i % 16384 == 0) {
            if (isCancelled(watch)) return cancelledWork();
            report(watch, static_cast<double>(i) / static_cast<double>(count), "reading triangles");
        }
        Triangle triangle{};
        for (std::size_t corner = 0; corner < 3; ++corner) {
            Point3 p{};
            for (std::size_t k = 0; k < 3; ++k) {
                const char* at = &bytes[stlHead + stlFacet * i + 12 + 12 * corner + 4 * k];
                p[k] = std::bit_cast<float>(littleEndian(at));
                if (!std::isfinite(p[k]))
                    return fail(
                        "", fmt::format("triangle {} of {} has a corner that is not a finite number", i + 1, count));
            }
            triangle[corner] = table.placeOf(p);
        }
        mesh.triangles.push_back(triangle);
    }
    return mesh;
}

Result<Mesh> meshFromTextStl(std::string_view text, const Watch& watch)
{
    Words words{text};
    if (!sameWord(words.next(), "solid")) return words.wrong("a text STL file begins with \"solid\"");
    words.skipLine();  // the solid's name, which may be any words
    Mesh mesh;
    const std::size_t most = text.size() / 60 + 1;  // no facet is written in fewer bytes
    PointTable table(3 * most, mesh.points);
    bool open = true;
    for (std::size_t step = 0;; ++step) {
        if (step % 16384 == 0) {
            if (isCancelled(watch)) return cancelledWork();
            report(watch, static_cast<double>(words.at) / static_cast<double>(text.size()), "reading triangles");
        }
        std::string_view word = words.next();
        if (word.empty() && !open) break;
        if (sameWord(word, "endsolid") || (sameWord(word, "solid") && !open)) {
            open = sameWord(word, "solid");
            words.skipLine();
            continue;
        }
        if (!sameWord(word, "facet") || !open)
            return words.wrong(quoted(word) + " stands where \"facet\" or \"endsolid\" is expected");
        // The normal is skipped: some programs write zeros or nan there.
        for (int skipped = 0; skipped < 4; ++skipped)
            words.next();
        for (const std::string_view expected : {"outer", "loop"})
            if (word = words.next(); !sameWord(word, expected))
                return words.wrong(quoted(word) + " stands where \"outer loop\" is expected");
        Triangle triangle{};
        for (std::uint32_t& corner : triangle) {
            if (word = words.next(); !sameWord(word, "vertex"))
                return words.wrong(quoted(word) + " stands where a facet's three vertices are expected");
            Point3 p{};
            for (double& x : p)
                if (word = words.next(); !readNumber(word, x))
                    return words.wrong(quoted(word) + " stands where a vertex's finite number is expected");
            corner = table.placeOf(p);
        }
        for (const std::string_view expected : {"endloop", "endfacet"})
            if (word = words.next(); !sameWord(word, expected))
                return words.wrong(quoted(word) + " stands where \"" + std::string(expected) + "\" is expected");
        mesh.triangles.push_back(triangle);
    }
    if (mesh.triangles.empty()) return fail("", "the file holds no triangle");
    return mesh;
}

namespace {

/// "7", "7/2", "7//3", "7/2/3", "-1": the corner's place counted from 0. False: not a whole number, or none such.
bool readCorner(std::string_view word, std::size_t points, std::size_t& place)
{
    const std::string_view digits = word.substr(0, word.find('/'));
    long long number = 0;
    const auto [end, trouble] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (trouble != std::errc{} || end != digits.data() + digits.size()) return false;
    const auto count = static_cast<long long>(points);
    if (number == 0 || number > count || number < -count) return false;
    place = static_cast<std::size_t>(number > 0 ? number - 1 : count + number);
    return true;
}

}  // namespace

Result<Mesh> meshFromObj(std::string_view text, const Watch& watch)
{
    Mesh mesh;
    Words words{text};
    std::vector<std::size_t> corners;
    for (std::size_t step = 0; words.at < text.size(); ++step) {
        if (step % 16384 == 0) {
            if (isCancelled(watch)) return cancelledWork();
            report(watch, 0.8 * static_cast<double>(words.at) / static_cast<double>(text.size()), "reading triangles");
        }
        const std::size_t end = std::min(text.find('\n', words.at), text.size());
        Words line{text.substr(0, end), words.at};
        const std::string_view kind = line.next();
        if (kind == "v") {
            Point3 p{};
            for (double& x : p)
                if (const std::string_view word = line.next(); !readNumber(word, x))
                    return line.wrong((word.empty() ? "the line ends" : quoted(word) + " stands") +
                                      " where a corner's finite number is expected");
            mesh.points.push_back(p);
        } else if (kind == "f") {
            corners.clear();
            for (std::string_view word = line.next(); !word.empty(); word = line.next()) {
                std::size_t place = 0;
                if (!readCorner(word, mesh.points.size(), place))
                    return line.wrong(
                        fmt::format("{} names no corner of the {} read so far", quoted(word), mesh.points.size()));
                corners.push_back(place);
            }
            if (corners.size() < 3)
                return line.wrong(fmt::format("a face has {} corners; at least 3 are needed", corners.size()));
            addFan(mesh, corners);
        }
        words.at = end + 1;
    }
    if (mesh.triangles.empty()) return fail("", "the file holds no face (a line \"f 1 2 3\")");
    return merged(mesh, watch);
}

Result<Mesh> merged(const Mesh& mesh, const Watch& watch)
{
    constexpr std::uint32_t unseen = 0xffffffff;
    Mesh out;
    out.triangles.reserve(mesh.triangles.size());
    PointTable table(mesh.points.size(), out.points);
    std::vector<std::uint32_t> placeOf(mesh.points.size(), unseen);
    for (const Triangle& t : mesh.triangles) {
        if (out.triangles.size() % 65536 == 0 && isCancelled(watch)) return cancelledWork();
        Triangle u{};
        for (std::size_t i = 0; i < 3; ++i) {
            std::uint32_t& place = placeOf[t[i]];
            if (place == unseen) place = table.placeOf(mesh.points[t[i]]);
            u[i] = place;
        }
        out.triangles.push_back(u);
    }
    return out;
}

}  // namespace portwright
