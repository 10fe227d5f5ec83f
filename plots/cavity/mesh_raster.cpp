// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/mesh_raster.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace portwright {
namespace {

using Vector = std::array<float, 3>;

constexpr Vector towardsLight{-0.37F, -0.56F, 0.74F};  // picture x, y, nearness: from the upper left, unit length
constexpr float nowhere = -std::numeric_limits<float>::infinity();

bool finite(const Vector& p) { return std::isfinite(p[0]) && std::isfinite(p[1]) && std::isfinite(p[2]); }

QRgb mixed(QRgb a, QRgb b, float share)
{
    const auto mix = [share](int from, int to) { return int(std::lround(float(from) + share * float(to - from))); };
    return qRgb(mix(qRed(a), qRed(b)), mix(qGreen(a), qGreen(b)), mix(qBlue(a), qBlue(b)));
}

/// One picture that is being drawn.
struct Canvas {
    QRgb* pixels;
    std::size_t stride;  // in pixels
    float* nearness;
    int width, height, hatchStep;

    void fill(const Vector& a, const Vector& b, const Vector& c, QRgb tone, QRgb hatch, bool hatched) const;
    void outline(QRgb tone, float step) const;
};

/// Edge functions that are stepped along the rows. The pixels whose centre lies inside or on the rim belong to it.
void Canvas::fill(const Vector& a, const Vector& b, const Vector& c, QRgb tone, QRgb hatch, bool hatched) const
{
    const auto pixel = [](float v, int most) { return int(std::clamp(v, 0.0F, float(most))); };
    const int left = pixel(std::floor(std::min({a[0], b[0], c[0]})), width - 1);
    const int right = pixel(std::ceil(std::max({a[0], b[0], c[0]})), width - 1);
    const int top = pixel(std::floor(std::min({a[1], b[1], c[1]})), height - 1);
    const int foot = pixel(std::ceil(std::max({a[1], b[1], c[1]})), height - 1);
    const float twice = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    if (std::abs(twice) < 1e-6F) return;  // seen edge-on
    const float per = 1 / twice;
    const float bx = (c[1] - a[1]) * per, by = -(c[0] - a[0]) * per;  // share of b, along x and y
    const float cx = -(b[1] - a[1]) * per, cy = (b[0] - a[0]) * per;  // share of c
    const float nx = bx * (b[2] - a[2]) + cx * (c[2] - a[2]);
    for (int y = top; y <= foot; ++y) {
        const float fromX = float(left) + 0.5F - a[0], fromY = float(y) + 0.5F - a[1];
        float shareB = bx * fromX + by * fromY, shareC = cx * fromX + cy * fromY;
        float near = a[2] + shareB * (b[2] - a[2]) + shareC * (c[2] - a[2]);
        float* nearest = nearness + std::size_t(y) * std::size_t(width) + left;
        QRgb* out = pixels + std::size_t(y) * stride + left;
        for (int x = left; x <= right; ++x, ++nearest, ++out, shareB += bx, shareC += cx, near += nx) {
            constexpr float grace = -1e-4F;  // steps of floats: no cracks between neighbours
            if (shareB < grace || shareC < grace || shareB + shareC > 1 - grace || near <= *nearest) continue;
            *nearest = near;
            *out = hatched && (x + y) % hatchStep == 0 ? hatch : tone;
        }
    }
}

/// A line where the background begins or the surface steps back by more than `step` px from one pixel to the next.
void Canvas::outline(QRgb tone, float step) const
{
    for (int y = 0; y + 1 < height; ++y) {
        const float* here = nearness + std::size_t(y) * std::size_t(width);
        const float* below = here + width;
        QRgb* out = pixels + std::size_t(y) * stride;
        for (int x = 0; x + 1 < width; ++x) {
            const float least = std::min({here[x], here[x + 1], below[x]}),
                        most = std::max({here[x], here[x + 1], below[x]});
            if (most > nowhere && most - least > step) out[x] = tone;
        }
    }
}

}  // namespace

Orbit clamped(Orbit orbit)
{
    orbit.turn = std::remainder(orbit.turn, 2 * std::numbers::pi);
    orbit.tilt = std::clamp(orbit.tilt, -std::numbers::pi / 2, std::numbers::pi / 2);
    orbit.zoom = std::clamp(orbit.zoom, 0.5, 40.0);
    return orbit;
}

std::array<float, 3> MeshProjection::operator()(const std::array<float, 3>& p) const
{
    std::array<float, 3> out{};
    for (std::size_t i = 0; i < 3; ++i)
        out[i] = float(rows[i][0] * double(p[0]) + rows[i][1] * double(p[1]) + rows[i][2] * double(p[2]) + rows[i][3]);
    return out;
}

MeshProjection projectionOf(const DrawnMesh& mesh, const Orbit& orbit, int width, int height)
{
    std::array<double, 3> low{1e300, 1e300, 1e300}, high{-1e300, -1e300, -1e300};
    for (const Vector& p : mesh.points) {
        if (!finite(p)) continue;
        for (std::size_t i = 0; i < 3; ++i)
            low[i] = std::min(low[i], double(p[i])), high[i] = std::max(high[i], double(p[i]));
    }
    double reach = 0;  // from the middle of the box
    for (const Vector& p : mesh.points)
        if (finite(p))
            reach =
                std::max(reach, std::hypot(double(p[0]) - (low[0] + high[0]) / 2, double(p[1]) - (low[1] + high[1]) / 2,
                                           double(p[2]) - (low[2] + high[2]) / 2));
    MeshProjection out;
    if (low[0] > high[0] || reach <= 0) return out;
    const double scale = orbit.zoom * 0.46 * std::min(width, height) / reach;
    const double ct = std::cos(orbit.turn), st = std::sin(orbit.turn), cl = std::cos(orbit.tilt),
                 sl = std::sin(orbit.tilt);
    // The viewer stands towards (st cl, -ct cl, sl); paper right is (ct, st, 0), paper up (-st sl, ct sl, cl).
    out.rows[0] = {scale * ct, scale * st, 0, width / 2.0};
    out.rows[1] = {scale * st * sl, -scale * ct * sl, -scale * cl, height / 2.0};
    out.rows[2] = {scale * st * cl, -scale * ct * cl, scale * sl, 0};
    for (auto& row : out.rows)
        for (std::size_t i = 0; i < 3; ++i)
            row[3] -= row[i] * (low[i] + high[i]) / 2;
    out.pixelsPerMetre = scale;
    return out;
}

void rasterise(QImage& image, std::vector<float>& nearness, const DrawnMesh& mesh, const MeshProjection& projection,
               const MeshTones& tones, int hatchStep)
{
    const int width = image.width(), height = image.height();
    nearness.assign(std::size_t(width) * std::size_t(height), nowhere);
    if (width < 2 || height < 2 || projection.pixelsPerMetre <= 0) return;
    const Canvas canvas{reinterpret_cast<QRgb*>(image.bits()),
                        std::size_t(image.bytesPerLine()) / sizeof(QRgb),
                        nearness.data(),
                        width,
                        height,
                        std::max(hatchStep, 2)};
    constexpr int steps = 64;  // of tone
    std::array<QRgb, steps> wall{}, patch{};
    for (std::size_t i = 0; i < steps; ++i) {
        wall[i] = mixed(tones.dark, tones.light, float(i) / (steps - 1));
        patch[i] = mixed(tones.patchDark, tones.patchLight, float(i) / (steps - 1));
    }
    std::vector<Vector> at;
    at.reserve(mesh.points.size());
    for (const Vector& p : mesh.points)
        at.push_back(projection(p));
    for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
        const auto& t = mesh.triangles[i];
        if (t[0] >= at.size() || t[1] >= at.size() || t[2] >= at.size()) continue;
        const Vector &a = at[t[0]], &b = at[t[1]], &c = at[t[2]];
        if (!finite(a) || !finite(b) || !finite(c)) continue;
        const Vector u{b[0] - a[0], b[1] - a[1], b[2] - a[2]}, v{c[0] - a[0], c[1] - a[1], c[2] - a[2]};
        // Picture y points downwards, so the outward normal is v x u.
        const Vector n{v[1] * u[2] - v[2] * u[1], v[2] * u[0] - v[0] * u[2], v[0] * u[1] - v[1] * u[0]};
        const float length = std::hypot(n[0], n[1], n[2]);
        if (!(length > 0)) continue;
        const float light = (n[0] * towardsLight[0] + n[1] * towardsLight[1] + n[2] * towardsLight[2]) / length;
        const float bright = n[2] >= 0 ? 0.15F + 0.85F * std::max(light, 0.0F) : 0.0F;
        const auto tone = std::size_t(std::clamp(int(bright * (steps - 1)), 0, steps - 1));
        const bool closing = i >= mesh.patchFrom;
        canvas.fill(a, b, c, closing ? patch[tone] : wall[tone], tones.patchHatch, closing);
    }
    canvas.outline(tones.outline, 0.04F * float(std::min(width, height)));
}

}  // namespace portwright
