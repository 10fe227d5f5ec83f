// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/mesh_raster.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

#include <cmath>
#include <limits>
#include <numbers>

using namespace portwright;

namespace {

/// A ball of radius r about a point, `rings` by 2 `rings` quads, the uppermost ring as patch.
DrawnMesh ball(int rings, float r, std::array<float, 3> centre = {0, 0, 0})
{
    DrawnMesh mesh;
    const int around = 2 * rings;
    const auto number = [&](int ring, int i) { return std::uint32_t(ring * around + i % around); };
    for (int ring = 0; ring <= rings; ++ring)
        for (int i = 0; i < around; ++i) {
            const double up = std::numbers::pi * (double(ring) / rings - 0.5), turn = 2 * std::numbers::pi * i / around;
            mesh.points.push_back({centre[0] + r * float(std::cos(up) * std::cos(turn)),
                                   centre[1] + r * float(std::cos(up) * std::sin(turn)),
                                   centre[2] + r * float(std::sin(up))});
        }
    for (int ring = 0; ring < rings; ++ring) {
        if (ring == rings - 1) mesh.patchFrom = mesh.triangles.size();
        for (int i = 0; i < around; ++i) {
            mesh.triangles.push_back({number(ring, i), number(ring, i + 1), number(ring + 1, i + 1)});
            mesh.triangles.push_back({number(ring, i), number(ring + 1, i + 1), number(ring + 1, i)});
        }
    }
    return mesh;
}

const MeshTones tones{qRgb(10, 10, 10), qRgb(200, 200, 200), qRgb(0, 0, 90),
                      qRgb(0, 0, 250),  qRgb(0, 0, 255),     qRgb(1, 1, 1)};
const QRgb paper = qRgb(255, 255, 254);

struct Picture {
    QImage image;
    std::vector<float> nearness;
    MeshProjection projection;
};
Picture pictureOf(const DrawnMesh& mesh, const Orbit& orbit, int width = 300, int height = 200)
{
    Picture p{QImage(width, height, QImage::Format_RGB32), {}, projectionOf(mesh, orbit, width, height)};
    p.image.fill(paper);
    rasterise(p.image, p.nearness, mesh, p.projection, tones);
    return p;
}

Orbit arbitraryOrbit()
{
    return clamped({*rc::gen::inRange(-400, 400) / 100.0, *rc::gen::inRange(-200, 200) / 100.0, 1});
}

}  // namespace

TEST_CASE("a ball is a disc of its size from every side, without holes")
{
    const DrawnMesh mesh = ball(48, 0.1F, {0.5F, -2, 7});
    rc::prop("any view", [&] {
        const Picture p = pictureOf(mesh, arbitraryOrbit());
        const double r = 0.1 * p.projection.pixelsPerMetre;
        int drawn = 0;
        for (int y = 0; y < 200; ++y)
            for (int x = 0; x < 300; ++x) {
                const double away = std::hypot(x + 0.5 - 150, y + 0.5 - 100);
                const bool there = p.nearness[std::size_t(y * 300 + x)] > -1e30F;
                drawn += there;
                if (away < 0.99 * r - 1) RC_ASSERT(there);  // chords of 48 rings lie 0.2 % inside
                if (away > r + 1) RC_ASSERT_FALSE(there);
            }
        RC_ASSERT(std::abs(drawn / (std::numbers::pi * r * r) - 1) < 0.03);  // half a pixel of the rim
    });
}

TEST_CASE("the nearest surface is the one that is seen")
{
    rc::prop("any view of a ball: the nearness is that of its front", [] {
        const DrawnMesh mesh = ball(64, 0.1F);
        const Picture p = pictureOf(mesh, arbitraryOrbit());
        const double r = 0.1 * p.projection.pixelsPerMetre;
        for (int y = 20; y < 180; y += 7)
            for (int x = 70; x < 230; x += 7) {
                const double across = std::hypot(x + 0.5 - 150, y + 0.5 - 100);
                if (across > 0.9 * r) continue;
                const double front = std::sqrt(r * r - across * across);
                // 64 rings: sagitta 0.12 % of r, steeper away from the middle
                RC_ASSERT(std::abs(double(p.nearness[std::size_t(y * 300 + x)]) - front) < 0.01 * r);
            }
    });
}

TEST_CASE("up is up: from the side the top of a mesh is the top of its picture")
{
    const DrawnMesh mesh = ball(8, 0.1F);
    const MeshProjection p = projectionOf(mesh, {1, 0, 1}, 300, 200);
    CHECK(p({0, 0, 0.1F})[1] < p({0, 0, -0.1F})[1]);
    const MeshProjection above = projectionOf(mesh, {1, std::numbers::pi / 2, 1}, 300, 200);
    CHECK(above({0, 0, 0.1F})[2] > above({0, 0, -0.1F})[2]);
    const MeshProjection front = projectionOf(mesh, {0, 0, 1}, 300, 200);  // the viewer stands at -y
    CHECK(front({0.1F, 0, 0})[0] > front({-0.1F, 0, 0})[0]);
    CHECK(front({0, -0.1F, 0})[2] > front({0, 0.1F, 0})[2]);
}

TEST_CASE("a projection turns without stretching: lengths to scale in all three directions")
{
    rc::prop("any view, any two points", [] {
        const DrawnMesh mesh = ball(6, 0.1F);
        const MeshProjection p = projectionOf(mesh, arbitraryOrbit(), 300, 200);
        const auto c = [] { return float(*rc::gen::inRange(-100, 100)) / 1000.0F; };
        const auto at = [&c] { return std::array{c(), c(), c()}; };
        const std::array a = at(), b = at(), pa = p(a), pb = p(b);
        const double before = std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) * p.pixelsPerMetre;
        RC_ASSERT(std::abs(std::hypot(pa[0] - pb[0], pa[1] - pb[1], pa[2] - pb[2]) - before) < 1e-3);  // px, of floats
    });
}

TEST_CASE("patches have tones of their own and a hatch, and only they")
{
    const Picture above = pictureOf(ball(24, 0.1F), {0.3, 1.5, 1}), below = pictureOf(ball(24, 0.1F), {0.3, -1.5, 1});
    const auto blue = [](const QImage& image) {
        int n = 0, hatch = 0;
        for (int y = 0; y < image.height(); ++y)
            for (int x = 0; x < image.width(); ++x) {
                const QRgb c = image.pixel(x, y);
                n += qRed(c) == 0 && qBlue(c) > 80;
                hatch += c == tones.patchHatch;
            }
        return std::pair{n, hatch};
    };
    CHECK(blue(above.image).first > 100);
    CHECK(blue(above.image).second > 10);
    CHECK(blue(below.image).first == 0);
}

TEST_CASE("meshes of nothing, with wild corners and far outside make no fault")
{
    DrawnMesh wild = ball(4, 0.1F);
    wild.points.push_back({std::numeric_limits<float>::quiet_NaN(), 0, 0});
    wild.triangles.push_back({0, 1, std::uint32_t(wild.points.size() - 1)});
    wild.triangles.push_back({0, 1, 999999});
    wild.triangles.push_back({2, 2, 2});
    const Picture p = pictureOf(wild, {0.5, 0.5, 40});
    CHECK(p.nearness.size() == 300U * 200U);
    for (const auto& [w, h] : {std::pair{1, 1}, {2, 300}, {300, 2}})
        CHECK(pictureOf(wild, {}, w, h).image.width() == w);
    const Picture none = pictureOf({}, {});
    CHECK(none.projection.pixelsPerMetre == 0);
    CHECK(none.image.pixel(150, 100) == paper);
}

TEST_CASE("tilt, zoom and turns stay in their range")
{
    const Orbit o = clamped({100, 9, 1e9});
    CHECK(std::abs(o.turn) <= std::numbers::pi);
    CHECK(o.tilt == Approx(std::numbers::pi / 2));
    CHECK(o.zoom == 40);
    CHECK(clamped({0, -9, 0}).zoom == 0.5);
}
