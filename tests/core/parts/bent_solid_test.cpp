// SPDX-License-Identifier: GPL-3.0-or-later
// Bent ports for the printer: volumes by Pappus' second theorem (a section swept square to a path sweeps its area times
// the path of its centre, so a bent port holds what a straight one of its length does), faults by admesh and CGAL.
#include "core/parts/port_solid.h"

#include "core/constants.h"
#include "core/mesh/scan.h"
#include "tests/core/parts/random_port.h"
#include "tests/core/parts/solid_checks.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <fmt/format.h>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

constexpr double quarter = pi / 2;

PortOpening bentPort(double bore, double length, std::vector<Bend> bends)
{
    PortOpening port = roundPort(bore, length);
    port.bends = std::move(bends);
    return port;
}

PartOptions whole()
{
    PartOptions options;
    options.printerHeight = 1;
    return options;
}

/// Bends that a printer can make, with a leg on each side of each: flange and flares fit in.
PortOpening arbitraryBentPort(const PartOptions& options)
{
    PortOpening port = arbitraryPort();
    const double across = port.shape == PortShape::round ? port.diameter : port.height;
    const double arcsLeast = across / 2 + *options.wall + 1.1e-3;
    double turn = 0, arcs = 0;
    for (int n = *rc::gen::inRange(1, 4); n > 0; --n) {
        const double angle = between(5, 100, pi / 180), radius = arcsLeast + between(0, 60, 1e-3);
        if (turn + angle > pi) break;
        turn += angle, arcs += angle * radius;
        port.bends.push_back({angle, radius, {}});
    }
    const double ends = port.outerFlare.value_or(0) + port.innerFlare.value_or(0) + 0.07;
    port.length = arcs + ends * double(port.bends.size() + 1) + between(0, 300, 1e-3);
    return port;
}

/// m2 of the bore where the mesh is cut square to the centre line: by the loop of cut triangles nearest to it.
double boreAreaAt(const Mesh& mesh, const PortBody& body, double along)
{
    const BodyFrame f = frameAt(body, along);
    const double sine = std::sin(f.turn), cosine = std::cos(f.turn);
    double area = 0;
    for (const Triangle& t : mesh.triangles) {
        std::array<std::array<double, 3>, 3> p{};  // in the section, and ahead of it
        for (std::size_t i = 0; i < 3; ++i) {
            const Point3& q = mesh.points[t[i]];
            const double y = q[1] - f.y, z = q[2] - f.z;
            p[i] = {q[0], y * cosine - z * sine, y * sine + z * cosine};
        }
        std::vector<Point2> cut;
        bool aheadFirst = false;
        for (std::size_t i = 0; i < 3; ++i) {
            const auto &a = p[i], &b = p[(i + 1) % 3];
            if ((a[2] < 0) == (b[2] < 0)) continue;
            if (cut.empty()) aheadFirst = a[2] < 0;
            const double share = -a[2] / (b[2] - a[2]);
            cut.push_back({a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])});
        }
        if (cut.size() != 2) continue;
        if (!aheadFirst) std::swap(cut[0], cut[1]);
        const double x = std::abs(cut[0][0] + cut[1][0]) / 2, y = std::abs(cut[0][1] + cut[1][1]) / 2;
        const double out = body.shape == PortShape::round
                               ? std::hypot(x, y) - body.radius
                               : std::hypot(std::max(x - body.halfWidth, 0.0), std::max(y - body.halfHeight, 0.0));
        if (out < body.wall / 2) area += (cut[0][0] * cut[1][1] - cut[0][1] * cut[1][0]) / 2;
    }
    return std::abs(area);
}

/// As it lies in the cavity, not as it stands on the bed.
Mesh unplaced(const PrintedPiece& piece, const PortBody& body)
{
    const BodyFrame f = frameAt(body, piece.turned ? piece.to : piece.from);
    const double sign = piece.turned ? -1 : 1, sine = std::sin(f.turn), cosine = std::cos(f.turn);
    Mesh mesh = piece.mesh;
    for (Point3& p : mesh.points) {
        const double v = sign * p[1], w = sign * p[2];
        p = {p[0], f.y + v * cosine + w * sine, f.z - v * sine + w * cosine};
    }
    return mesh;
}

}  // namespace

TEST_CASE("a bent tube has the volume that Pappus gives, by as much as its chords allow")
{
    PartOptions options = whole();
    options.flange = false;
    const PortOpening port = bentPort(0.05, 0.3, {{quarter, 0.06, {}}});
    const double section = pi * (0.028 * 0.028 - 0.025 * 0.025);
    for (const double chord : {0.4e-3, 0.1e-3, 0.025e-3}) {
        options.chord = chord;
        const auto body = printedBody(port, options);
        REQUIRE(body);
        const auto pieces = printedPieces(*body, options);
        REQUIRE(pieces);
        REQUIRE(pieces->size() == 1);
        // A sector of n chords of step d encloses n sin d of n d, whatever its radius.
        const int n = int(std::ceil(quarter / (2 * std::acos(1 - chord / (0.06 + 0.028)))));
        const double arc = 0.06 * n * std::sin(quarter / n), straight = 0.3 - 0.06 * quarter;
        CHECK(volumeOf((*pieces)[0].mesh) == Approx(section * (straight + arc)).epsilon(3e-5));
        CHECK(arc == Approx(0.06 * quarter).epsilon(1.4 * chord / 0.088));  // d2/6 with d2 = 8 chord/(R + r)
    }
}

TEST_CASE("every bent port, flared and flanged, is closed, open from end to end, and holds what a straight one does")
{
    rc::prop("round and slot, one bend to three", [] {
        PartOptions options = whole();
        options.wall = between(20, 50, 1e-4);
        options.flange = *rc::gen::arbitrary<bool>();
        options.chord = between(20, 200, 1e-6);
        const PortOpening port = arbitraryBentPort(options);
        const auto body = printedBody(port, options);
        if (!body) {  // no more than that it stands in its own way
            RC_ASSERT(body.error().message.find("leads back into its own") != std::string::npos ||
                      body.error().message.find("stands in its own first leg") != std::string::npos);
            return;
        }
        const auto pieces = printedPieces(*body, options);
        RC_ASSERT(pieces.has_value());
        RC_ASSERT(pieces->size() == 1u);
        const Mesh& mesh = (*pieces)[0].mesh;
        RC_ASSERT(watertight(mesh));
        RC_ASSERT(handlesOf(mesh) == 1 + int(body->screws.size()));
        RC_ASSERT(selfIntersections(mesh) == 0u);
        PortBody straight = *body;
        straight.bends.clear();
        PartOptions taller = options;
        taller.printerHeight = 1;
        const double length = straight.length;
        RC_PRE(length < 1);
        const auto same = printedPieces(straight, taller);
        RC_ASSERT(same.has_value());
        const double want = volumeOf((*same)[0].mesh), got = volumeOf(mesh);
        RC_ASSERT(std::abs(got - want) < options.chord * areaOf(mesh));
        const Mesh lying = unplaced((*pieces)[0], *body);
        const double from = std::max(body->outerFlare, body->flange), to = body->length - body->innerFlare;
        const double bore =
            body->shape == PortShape::round ? pi * body->radius * body->radius : 4 * body->halfWidth * body->halfHeight;
        for (int i = 0; i < 8; ++i) {
            const double at = from + (to - from) * between(1, 999, 1e-3) + 1.3e-6;
            const double area = boreAreaAt(lying, *body, at);
            // Between two stations the chords run inside the arc, by the tolerance at most.
            RC_ASSERT(std::abs(area / bore - 1) < 2e-5 + 4 * options.chord / (std::sqrt(bore)));
        }
    });
}

TEST_CASE("admesh finds no fault in the pieces of bent ports, which fit the printer and follow one another")
{
    rc::prop("split at random", [] {
        PartOptions options;
        options.wall = between(20, 50, 1e-4);
        options.printerHeight = between(120, 300, 1e-3);
        options.chord = between(20, 200, 1e-6);
        const PortOpening port = arbitraryBentPort(options);
        const auto body = printedBody(port, options);
        RC_PRE(body.has_value());
        const auto pieces = printedPieces(*body, options);
        if (!pieces) {
            RC_ASSERT(pieces.error().message.find("printer's height") != std::string::npos);
            return;
        }
        double at = 0, volume = 0, area = 0;
        for (const PrintedPiece& piece : *pieces) {
            RC_ASSERT(piece.from == at);
            RC_ASSERT(piece.height <= options.printerHeight + 1e-6);
            RC_ASSERT(std::abs(boundsOf(piece.mesh).low[2]) < 2e-7);
            RC_ASSERT(faults(piece.mesh) == "");
            RC_ASSERT(selfIntersections(piece.mesh) == 0u);
            at = piece.to, volume += volumeOf(piece.mesh), area += areaOf(piece.mesh);
            for (const BodyBend& bend : body->bends)  // joints in straights, lips and recesses and all
                for (const double edge : {piece.to, piece.to + lipJoint(*body, options).depth})
                    RC_ASSERT(at == body->length || edge < bend.from + 1e-9 || edge > bend.to() - 1e-9);
        }
        RC_ASSERT(at == body->length);
        PartOptions single = options;
        single.printerHeight = 1;
        PortBody straight = *body;
        straight.bends.clear();
        RC_PRE(straight.length < 1);
        const double half = body->wall / 2, c = options.lipClearance;
        const auto outline = [&](double offset) { return outlineArea(*body, offset); };
        const double gaps =
            double(pieces->size() - 1) *
            (options.lip * (outline(half + c / 2) - outline(half - c / 2)) + c * (outline(half + c / 2) - outline(0)));
        const double want = volumeOf((*printedPieces(straight, single))[0].mesh);
        RC_ASSERT(std::abs(want - gaps - volume) < options.chord * area);
    });
}

TEST_CASE("a bend comes as one piece with its joints in the legs beside it")
{
    PartOptions options;
    options.printerHeight = 0.2;
    const std::vector<double> legs{0.15, 0.3 - 0.15};
    const PortOpening port = bentPort(0.05, 0.3 + quarter * 0.06, {{quarter, 0.06, {}}});
    const auto body = printedBody(port, options, legs);
    REQUIRE(body);
    CHECK(body->bends[0].from == Approx(0.15));
    const auto pieces = printedPieces(*body, options);
    REQUIRE(pieces);
    CHECK(pieces->size() == 2);  // 150 + 60 + 28 mm stands too high for one
    options.printerHeight = 0.05;
    const auto low = printedPieces(*printedBody(port, options, legs), options);
    REQUIRE(!low);
    CHECK(low.error().message.find("a bend with its joints stands ") == 0);
    CHECK(low.error().message.find("printer's height is 50.0\u00A0mm") != std::string::npos);
}

TEST_CASE("what is cut long is printed, too, unless a flare ends it")
{
    PartOptions options = whole();
    options.cutLong = 0.02;
    CHECK(printedBody(roundPort(0.05, 0.163), options)->length == Approx(0.183));
    PortOpening flared = roundPort(0.05, 0.163);
    flared.innerFlare = 0.01;
    CHECK(printedBody(flared, options)->length == Approx(0.163));
    const auto bent = printedBody(bentPort(0.05, 0.3, {{quarter, 0.06, {}}}), options);
    CHECK(bent->length == Approx(0.32));
    CHECK(bent->bends[0].from == Approx((0.3 - quarter * 0.06) / 2));
}

TEST_CASE("bends that cannot be printed are refused with what could be")
{
    const auto why = [](const PortOpening& port, const std::vector<double>& legs = {},
                        const PartOptions& options = {}) {
        const auto body = printedBody(port, options, legs);
        return body ? std::string() : body.error().message;
    };
    CHECK(why(bentPort(0.05, 0.3, {{quarter, 0.0285, {}}})) ==
          "a bend of 28.5\u00A0mm about its centre line leaves no room for a wall of 3.0\u00A0mm on its inside; "
          "29.0\u00A0mm or more can be printed");
    CHECK(why(bentPort(0.05, 0.3, {{quarter, 0.0291, {}}})).empty());
    CHECK(why(bentPort(0.03, 0.6, {{quarter, 0.04, {}}, {quarter, 0.04, {}}, {quarter, 0.04, {}}}))
              .find("the bends turn by 270\u00B0 in all; up to 180\u00B0 is printed") == 0);
    CHECK(why(bentPort(0.05, 0.203 + quarter * 0.06, {{quarter, 0.06, {}}}), {3e-3, 0.2})
              .find("the leg before the bend is 3.0\u00A0mm long and must hold flange and flare, 6.0\u00A0mm") == 0);
    // Down 30 mm, around, and 60 mm back: through the plane of its own mouth.
    const std::vector<double> back{0.03, 0, 0.06};
    const auto turned = bentPort(0.05, 0.09 + pi * 0.03, {{quarter, 0.03, {}}, {quarter, 0.03, {}}});
    CHECK(why(turned, back).find("the port leads back into its own flange") == 0);
    PartOptions flat;
    flat.flange = false;
    CHECK(why(turned, back, flat).empty());
}
