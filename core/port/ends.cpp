// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/ends.h"

#include <cmath>

namespace portwright {

namespace {

double square(double x) { return x * x; }

bool isSlot(const Mouth& m) { return m.width > 0; }

double sinc(double u) { return std::abs(u) < 1e-9 ? 1 : std::sin(u) / u; }

// Piston to tube: the flow of a tube's mouth is not uniform.
double uniformExcess(const Mouth& m)
{
    if (!isSlot(m)) return 0.0271 * m.radius;
    const double aspect = std::max(m.width / m.height, m.height / m.width);
    return (0.0305 - 0.005 * std::log2(aspect)) * m.radius;  // fitted
}

// coth(q H)/q at k = 0, where q = K, and its derivative by k^2.
struct Term {
    double value, byK2;
};
Term evanescent(double K, double H)
{
    const double x = K * H;
    if (x > 20) return {1 / K, 1 / (2 * K * K * K)};
    const double coth = 1 / std::tanh(x), sinh2 = square(std::sinh(x));
    return {coth / K, (coth / K + H / sinh2) / (2 * K * K)};
}

// The same less what a line along the mode's own direction carries, 1/((K^2 - k^2) H): the deeper modes alone.
Term evanescentButPlane(double K, double H)
{
    const double x = K * H;
    if (x < 0.05) return {H / 3 - K * K * H * H * H / 45, H * H * H / 45};  // next term below 1e-5 of it
    Term t = evanescent(K, H);
    t.value -= 1 / (K * K * H);
    t.byK2 -= 1 / (K * K * K * K * H);
    return t;
}

// What the mouth's width leaves of mode (m, n): its mean over the mouth over its value at the centre.
double meanOver(const Mouth& m, double Kx, double Ky)
{
    if (isSlot(m)) return sinc(Kx * m.width / 2) * sinc(Ky * m.height / 2);
    const double x = std::hypot(Kx, Ky) * m.radius;
    return x < 1e-6 ? 1 : 2 * j1(x) / x;
}

// Modes are taken up to K a = 20. What lies above is, for a round mouth, a/(pi 20^2) by the asymptotic J1; a slot's
// converge slower and are taken to 40.
constexpr double roundLimit = 20, slotLimit = 40;
double limitOf(const Mouth& m) { return (isSlot(m) ? slotLimit : roundLimit) / m.radius; }
double tailOf(const Mouth& m) { return isSlot(m) ? 0 : m.radius / (pi * square(roundLimit)); }

struct Sum {
    double l0 = 0, l2 = 0, lowest = 0;
    void add(double weight, const Term& t)
    {
        l0 += weight * t.value;
        l2 += weight * t.byK2;
    }
};

InnerEnd endOf(const Sum& sum, const Mouth& mouth)
{
    return {sum.l0 + tailOf(mouth) - uniformExcess(mouth), sum.l2, sum.lowest / 2};
}

// Over all modes (m, n) with m + n > 0; `term(m, K)` of the mode's wave number.
template <class Of> Sum sumOverBox(const BoxPlace& b, const Mouth& mouth, const Of& term)
{
    Sum sum;
    sum.lowest = pi / std::max(b.width, b.breadth);
    const double most = limitOf(mouth), share = areaOf(mouth) / (b.width * b.breadth);
    for (int m = 0; m * pi / b.width <= most; ++m) {
        const double Kx = m * pi / b.width, alongX = (m > 0 ? 2 : 1) * square(std::cos(Kx * b.x));
        if (alongX < 1e-12) continue;  // the mouth sits on this mode's node
        const int last = int(b.breadth / pi * std::sqrt(square(most) - square(Kx)));
        for (int n = m == 0 ? 1 : 0; n <= last; ++n) {
            const double Ky = n * pi / b.breadth;
            const double g = alongX * (n > 0 ? 2 : 1) * square(std::cos(Ky * b.y) * meanOver(mouth, Kx, Ky));
            sum.add(share * g, term(m, std::hypot(Kx, Ky)));
        }
    }
    return sum;
}

}  // namespace

Mouth roundMouth(double radius) { return {radius, 0, 0}; }
Mouth slotMouth(double width, double height) { return {std::sqrt(width * height / pi), width, height}; }
double areaOf(const Mouth& mouth) { return pi * square(mouth.radius); }

InnerEnd innerEndInBox(const BoxPlace& b, const Mouth& mouth)
{
    return endOf(sumOverBox(b, mouth, [&](int, double K) { return evanescent(K, b.depth); }), mouth);
}

InnerEnd innerEndInCylinder(double R, double depth, double a)
{
    const Mouth mouth = roundMouth(a);
    Sum sum;
    const double share = square(a / R);
    for (int m = 1; m * pi / R <= limitOf(mouth); ++m) {
        double z = (m + 0.25) * pi;  // zeros of J1, after McMahon, then Newton
        z -= 3 / (8 * z);
        for (int i = 0; i < 3; ++i)
            z -= j1(z) / (j0(z) - j1(z) / z);
        if (m == 1) sum.lowest = z / R;
        const double g = square(meanOver(mouth, z / R, 0) / j0(z));
        sum.add(share * g, evanescent(z / R, depth));
    }
    return endOf(sum, mouth);
}

InnerEnd innerEndOnDuct(const BoxPlace& b, const Mouth& mouth)
{
    // Modes along the duct alone (m = 0): the line carries 2 cos^2/((K^2 - k^2) H) of each from a point, for all n; the
    // whole sum of that is D^2/H (1/3 - y/D + (y/D)^2). What is left of mode n is the deeper modes, and the little that
    // the mouth's width takes from the line's part.
    const double H = b.depth, D = b.breadth, share = areaOf(mouth) / (b.width * b.breadth);
    Sum sum =
        sumOverBox(b, mouth, [&](int m, double K) { return m == 0 ? evanescentButPlane(K, H) : evanescent(K, H); });
    sum.add(share, {H / 3, H * H * H / 45});  // mode (0, 0): all but the spring
    double carried = D * D / H * (1.0 / 3 - b.y / D + square(b.y / D));
    for (int n = 1; n * pi / D <= limitOf(mouth); ++n) {
        const double K = n * pi / D;
        carried -= 2 * square(std::cos(K * b.y) * meanOver(mouth, 0, K)) / (K * K * H);
    }
    sum.l0 -= share * carried;
    sum.lowest = pi / std::max(b.width, b.depth);  // the duct's own modes are no bound here
    return endOf(sum, mouth);
}

double outerEndInWall(const Mouth& mouth)
{
    if (!isSlot(mouth)) return 0.8216 * mouth.radius;
    const double w = mouth.width, h = mouth.height;
    const double uniform = (w * w * h * std::asinh(h / w) + w * h * h * std::asinh(w / h) +
                            (w * w * w + h * h * h - std::pow(w * w + h * h, 1.5)) / 3) /
                           (pi * w * h);
    return uniform - uniformExcess(mouth);
}

double outerEndInFront(double radius, double frontRadius)
{
    const double x = radius / frontRadius;
    return radius * (0.8216 - 0.2083 * x + 0.057 * x * (1 - std::pow(x, 5)));
}

double neighbourLength(double radius, double distance) { return square(radius) / (2 * distance); }

}  // namespace portwright
