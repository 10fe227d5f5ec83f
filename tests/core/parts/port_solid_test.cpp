// SPDX-License-Identifier: GPL-3.0-or-later
// Volumes against closed forms, faults against admesh and CGAL.
#include "core/parts/port_solid.h"

#include "core/constants.h"
#include "core/mesh/scan.h"
#include "tests/core/mesh/mesh_makers.h"
#include "tests/core/parts/random_port.h"
#include "tests/core/parts/solid_checks.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>
#include <numeric>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

// --- Closed forms ---

/// Area inside an outline at an offset is a0 + p0 o + pi o2, for circles and rounded rectangles alike (Steiner).
struct Steiner {
    double a0, p0;
    double area(double o) const { return a0 + p0 * o + pi * o * o; }

    /// Integral of the area over s = 0..to where o = R - sqrt(q2 - s2): a quarter circle of radius q about a centre
    /// R outside the bore, s counted from that centre.
    double arc(double R, double q, double to) const
    {
        const double root = q > 0 ? (to * std::sqrt(q * q - to * to) + q * q * std::asin(to / q)) / 2 : 0;
        const double squares = q * q * to - to * to * to / 3;
        return a0 * to + p0 * (R * to - root) + pi * (R * R * to - 2 * R * root + squares);
    }
};

Steiner steinerOf(const PortBody& body)
{
    if (body.shape == PortShape::round) return {pi * body.radius * body.radius, 2 * pi * body.radius};
    return {4 * body.halfWidth * body.halfHeight, 4 * (body.halfWidth + body.halfHeight)};
}

double boreVolume(const PortBody& body)
{
    const Steiner form = steinerOf(body);
    return form.area(0) * (body.length - body.outerFlare - body.innerFlare) +
           form.arc(body.outerFlare, body.outerFlare, body.outerFlare) +
           form.arc(body.innerFlare, body.innerFlare, body.innerFlare);
}

/// Outline's volume from a height above a mouth up to where the plain wall begins (at least the height `end`).
double bellVolume(const PortBody& body, double flare, double from, double end)
{
    const Steiner form = steinerOf(body);
    const double t = body.wall;
    if (flare <= t) return form.area(t) * (end - from);
    double volume = form.area(t) * (end - std::max(from, flare));
    volume += form.area(flare) * std::max(t - from, 0.0);  // the edge
    if (from < flare) volume += form.arc(flare, flare - t, flare - std::max(from, t));
    return volume;
}

double analyticVolume(const PortBody& body)
{
    const Steiner form = steinerOf(body);
    const double middle = body.length / 2 + (std::max(body.outerFlare, body.flange) - body.innerFlare) / 2;
    double volume = bellVolume(body, body.outerFlare, body.flange, middle) +
                    bellVolume(body, body.innerFlare, 0, body.length - middle) - boreVolume(body);
    if (body.flange > 0)
        volume +=
            body.flange * (form.area(body.rim) - double(body.screws.size()) * pi * body.screwRadius * body.screwRadius);
    return volume;
}

// --- What a mesh is ---

/// m2 of the section at a height: inside the loops nearer the axis than the bore and half the wall, and of material.
struct SectionAreas {
    double bore = 0, material = 0;
};
SectionAreas sectionOf(const Mesh& mesh, const PortBody& body, double height)
{
    SectionAreas areas;
    for (const Triangle& t : mesh.triangles) {
        std::vector<Point2> cut;
        bool upFirst = false;
        for (std::size_t i = 0; i < 3; ++i) {
            const Point3 &a = mesh.points[t[i]], &b = mesh.points[t[(i + 1) % 3]];
            if ((a[2] < height) == (b[2] < height)) continue;
            if (cut.empty()) upFirst = a[2] < height;
            const double share = (height - a[2]) / (b[2] - a[2]);
            cut.push_back({a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])});
        }
        if (cut.size() != 2) continue;
        if (!upFirst) std::swap(cut[0], cut[1]);  // one sense around: holes come out negative
        const double area = (cut[0][0] * cut[1][1] - cut[0][1] * cut[1][0]) / 2;
        const double x = std::abs(cut[0][0] + cut[1][0]) / 2, y = std::abs(cut[0][1] + cut[1][1]) / 2;
        const double out = body.shape == PortShape::round
                               ? std::hypot(x, y) - body.radius
                               : std::hypot(std::max(x - body.halfWidth, 0.0), std::max(y - body.halfHeight, 0.0));
        areas.material += area;
        if (out < body.wall / 2) areas.bore += area;
    }
    return {std::abs(areas.bore), std::abs(areas.material)};
}

std::vector<PrintedPiece> piecesOf(const PortOpening& port, const PartOptions& options)
{
    const auto body = printedBody(port, options);
    if (!body) FAIL(body.error().message);
    auto pieces = printedPieces(*body, options);
    if (!pieces) FAIL(pieces.error().message);
    return std::move(*pieces);
}

PartOptions whole()
{
    PartOptions options;
    options.printerHeight = 1;
    return options;
}

}  // namespace

TEST_CASE("a plain round port has the volume and the bore of the formula")
{
    PartOptions options = whole();
    options.flange = false;
    const auto body = printedBody(roundPort(0.05, 0.163), options);
    const auto pieces = printedPieces(*body, options);
    REQUIRE(pieces);
    REQUIRE(pieces->size() == 1);
    // Polygons of the circle's own area: what is left is the grid of 0.1 um, at worst 0.07 um of the 3 mm wall.
    CHECK(volumeOf((*pieces)[0].mesh) == Approx(pi * (0.028 * 0.028 - 0.025 * 0.025) * 0.163).epsilon(2.4e-5));
    const SectionAreas section = sectionOf((*pieces)[0].mesh, *body, 0.0815);
    CHECK(section.bore == Approx(pi * 0.025 * 0.025).epsilon(2e-6));
    CHECK(section.material == Approx(pi * (0.028 * 0.028 - 0.025 * 0.025)).epsilon(2.4e-5));
    CHECK((*pieces)[0].height == Approx(0.163));
}

TEST_CASE("every printed port is closed, outward, and within the chord tolerance of the formula")
{
    rc::prop("round and slot, flared at neither, either or both ends, with and without flange", [] {
        const PortOpening port = arbitraryPort();
        PartOptions options = whole();
        options.wall = between(8, 60, 1e-4);
        options.flange = *rc::gen::arbitrary<bool>();
        options.chord = between(20, 200, 1e-6);
        const auto body = printedBody(port, options);
        RC_ASSERT(body.has_value());
        const auto pieces = printedPieces(*body, options);
        RC_ASSERT(pieces.has_value());
        RC_ASSERT(pieces->size() == 1u);
        const Mesh& mesh = (*pieces)[0].mesh;
        RC_ASSERT(watertight(mesh));
        const double volume = volumeOf(mesh), error = std::abs(volume - analyticVolume(*body));
        RC_ASSERT(volume > 0);
        RC_ASSERT(error < options.chord * areaOf(mesh));  // every facet at its farthest, all one way
        const double plain = (std::max(body->outerFlare, body->flange) + body->length - body->innerFlare) / 2;
        const SectionAreas section = sectionOf(mesh, *body, plain + 1.3e-5);      // between two rings
        RC_ASSERT(std::abs(section.bore / steinerOf(*body).area(0) - 1) < 2e-5);  // grid of 0.1 um on 10 mm
    });
}

TEST_CASE("the volume of a flared port comes to the formula in proportion to the chord tolerance")
{
    PortOpening port = roundPort(0.05, 0.12);
    port.outerFlare = 0.02, port.innerFlare = 0.012;
    double before = 0;
    for (const double chord : {0.4e-3, 0.1e-3, 0.025e-3}) {
        PartOptions options = whole();
        options.chord = chord;
        const auto body = printedBody(port, options);
        const double volume = volumeOf((*printedPieces(*body, options))[0].mesh);
        const double error = std::abs(volume / analyticVolume(*body) - 1);
        INFO(chord << ": " << error);
        CHECK(error < 0.05);
        if (before > 0) CHECK(error < before / 2.5);  // a quarter each, but for whole numbers of steps
        before = error;
    }
    CHECK(before < 1e-3);  // 0.025 mm of a 3 mm wall, in a quarter of its length
}

TEST_CASE("admesh finds no fault in any piece, and sums its volume")
{
    PortOpening flared = roundPort(0.063, 0.25);
    flared.outerFlare = 0.02, flared.innerFlare = 0.015;
    PortOpening slot = slotPort(0.12, 0.03, 0.33);
    slot.outerFlare = 0.012, slot.innerFlare = 2e-3;
    PortOpening mouthOfWall = roundPort(0.04, 0.1);
    mouthOfWall.outerFlare = 3e-3, mouthOfWall.innerFlare = 3e-3;  // as wide as the wall: the end face is a line
    PortOpening free = flared;
    free.outerEnd = TubeEnd::free;
    for (const PortOpening& port :
         {roundPort(0.05, 0.163), flared, slot, slotPort(0.03, 0.03, 0.06), mouthOfWall, free})
        for (const double height : {0.12, 0.5}) {
            PartOptions options;
            options.printerHeight = height;
            for (const PrintedPiece& piece : piecesOf(port, options)) {
                INFO(port.length << " m, printer " << height << " m, piece from " << piece.from);
                CHECK(faults(piece.mesh) == "");
                CHECK(watertight(piece.mesh));
                CHECK(selfIntersections(piece.mesh) == 0u);
                CHECK(volumeOf(piece.mesh) > 0);
            }
        }
}

TEST_CASE("admesh finds no fault in ports of any size, split at random")
{
    rc::prop("each piece as its file", [] {
        const PortOpening port = arbitraryPort();
        PartOptions options;
        options.wall = between(20, 50, 1e-4);
        options.printerHeight = between(80, 300, 1e-3);
        options.chord = between(10, 200, 1e-6);
        const auto body = printedBody(port, options);
        RC_ASSERT(body.has_value());
        const auto pieces = printedPieces(*body, options);
        RC_ASSERT(pieces.has_value());
        for (const PrintedPiece& piece : *pieces) {
            RC_ASSERT(faults(piece.mesh) == "");
            RC_ASSERT(selfIntersections(piece.mesh) == 0u);
        }
    });
}

TEST_CASE("no edge of a printed port is so short that it loses its direction in single precision")
{
    // In these a chord of the flare ended within 1 um of the flange's back.
    PartOptions options = whole();
    options.wall = 2.5e-3, options.chord = 29e-6;
    double shortest = 1;
    for (const double flare : {9.5e-3, 9.49e-3, 9.495e-3, 9.505e-3, 9.51e-3}) {
        PortOpening port = roundPort(0.0239, 0.06);
        port.outerFlare = flare;
        for (const PrintedPiece& piece : piecesOf(port, options))
            for (const Triangle& t : piece.mesh.triangles)
                for (std::size_t i = 0; i < 3; ++i) {
                    const Point3 &a = piece.mesh.points[t[i]], &b = piece.mesh.points[t[(i + 1) % 3]];
                    shortest = std::min(shortest, std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]));
                }
    }
    CHECK(shortest > 20e-6);
}

TEST_CASE("admesh does see a facet that is missing, and one that is turned over")
{
    Mesh mesh = piecesOf(roundPort(0.05, 0.1), {})[0].mesh;
    std::swap(mesh.triangles[3][0], mesh.triangles[3][1]);
    CHECK(faults(mesh) != "");
    mesh.triangles.erase(mesh.triangles.begin() + 3);
    CHECK(faults(mesh) != "");
}

TEST_CASE("pieces fit the printer, follow one another, and lack only the clearance of their lips")
{
    rc::prop("any port and printer", [] {
        const PortOpening port = arbitraryPort();
        PartOptions options;
        options.wall = between(20, 50, 1e-4);
        options.printerHeight = between(80, 200, 1e-3);
        options.lip = between(40, 120, 1e-4);
        options.lipClearance = between(0, 4, 1e-4);
        const auto body = printedBody(port, options);
        RC_ASSERT(body.has_value());
        const auto pieces = printedPieces(*body, options);
        RC_ASSERT(pieces.has_value());
        double at = 0, volume = 0, gaps = 0, area = 0;
        for (const PrintedPiece& piece : *pieces) {
            RC_ASSERT(piece.from == at);
            RC_ASSERT(piece.height <= options.printerHeight + 1e-6);
            const Bounds bounds = boundsOf(piece.mesh);
            RC_ASSERT(std::abs(bounds.low[2]) < 1e-9);
            RC_ASSERT(watertight(piece.mesh));
            at = piece.to, volume += volumeOf(piece.mesh), area += areaOf(piece.mesh);
        }
        RC_ASSERT(at == port.length);
        const Steiner form = steinerOf(*body);
        const double half = body->wall / 2, c = options.lipClearance;
        gaps = double(pieces->size() - 1) * (options.lip * (form.area(half + c / 2) - form.area(half - c / 2)) +
                                             c * (form.area(half + c / 2) - form.area(0)));
        RC_ASSERT(std::abs(analyticVolume(*body) - gaps - volume) < options.chord * area);
    });
}

TEST_CASE("pieces are as few and as equal as the printer allows")
{
    PartOptions options;
    options.printerHeight = 0.108, options.lip = 8e-3;
    CHECK(piecesOf(roundPort(0.05, 0.108), options).size() == 1);
    CHECK(piecesOf(roundPort(0.05, 0.2079), options).size() == 2);  // 100 + 8 and 108 mm reach 208 mm
    const auto three = piecesOf(roundPort(0.05, 0.2081), options);
    REQUIRE(three.size() == 3);
    for (const PrintedPiece& piece : three)
        CHECK(piece.height == Approx((0.2081 - 8e-3) / 3 + 8e-3).epsilon(1e-6));
    CHECK(three[2].turned);
    CHECK_FALSE(three[1].turned);
}

TEST_CASE("a lip goes into its recess: the faces that meet leave the clearance")
{
    PartOptions options;
    options.printerHeight = 0.1;
    const auto body = printedBody(roundPort(0.05, 0.15), options);
    const auto pieces = printedPieces(*body, options);
    REQUIRE(pieces->size() == 2);
    const LipJoint joint = lipJoint(*body, options);
    const double lipMiddle = (*pieces)[0].height - options.lip / 2;
    const double recessMiddle = (*pieces)[1].height - options.lip / 2;  // turned: the recess looks up
    CHECK(joint.recess - joint.lip == Approx(options.lipClearance));
    CHECK(joint.depth - joint.height == Approx(options.lipClearance));
    // In the lip's height the first piece is a ring from bore to lip, the second one from recess to outside.
    const auto ring = [](double inner, double outer) {
        return pi * (std::pow(0.025 + outer, 2) - std::pow(0.025 + inner, 2));
    };
    CHECK(sectionOf((*pieces)[0].mesh, *body, lipMiddle).material == Approx(ring(0, joint.lip)).epsilon(1e-4));
    CHECK(sectionOf((*pieces)[1].mesh, *body, recessMiddle).material ==
          Approx(ring(joint.recess, body->wall)).epsilon(1e-4));
}

TEST_CASE("what a printer cannot hold is refused with what it would need")
{
    PartOptions options;
    options.printerHeight = 0.03;
    PortOpening port = roundPort(0.05, 0.2);
    port.outerFlare = 0.04;
    const auto body = printedBody(port, options);
    REQUIRE(body);
    const auto pieces = printedPieces(*body, options);
    REQUIRE(!pieces);
    CHECK(pieces.error().message.find(
              "flange, flares and lips do not fit a printer's height of 30.0\u00A0mm: the outer end "
              "needs 48.0\u00A0mm") == 0);
    options.wall = 1.2e-3, options.printerHeight = 0.1;
    CHECK(printedPieces(*printedBody(port, options), options).error().message ==
          "the port is higher than the printer's 100.0\u00A0mm and must be split, and a wall of 1.2\u00A0mm is too "
          "thin for a "
          "register lip; 2 mm or more is needed");
}
