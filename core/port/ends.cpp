// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/ends.h"

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

double square(double x) { return x * x; }

bool isSlot(const Mouth& m) { return m.width > 0; }

double sinc(double u) { return std::abs(u) < 1e-9 ? 1 : std::sin(u) / u; }

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

// Squared amplitudes of the modes at the mouths: cos cos at one place, or the mean over several driven in phase.
class Amplitudes {
public:
    Amplitudes(const BoxPlace& b, int mostX, int mostY) : places_(b.centres)
    {
        if (places_.empty()) places_.push_back({0, 0});
        for (const auto& [x, y] : places_) {
            cosX_.push_back(cosines(pi / b.width * (b.x + x), mostX));
            cosY_.push_back(cosines(pi / b.breadth * (b.y + y), mostY));
        }
    }
    double squared(int m, int n) const
    {
        double sum = 0;
        for (std::size_t i = 0; i < places_.size(); ++i)
            sum += cosX_[i][m] * cosY_[i][n];
        return sum * sum / double(places_.size());
    }

private:
    static std::vector<double> cosines(double angle, int most)
    {
        std::vector<double> c(most + 1);
        for (int m = 0; m <= most; ++m)
            c[m] = std::cos(m * angle);
        return c;
    }
    std::vector<std::array<double, 2>> places_;
    std::vector<std::vector<double>> cosX_, cosY_;
};

// What a slot's side leaves of the modes across it, 0 to most; a round mouth's side leaves all.
std::vector<double> meansOver(double side, double across, int most)
{
    std::vector<double> means(most + 1, 1.0);
    for (int m = 1; side > 0 && m <= most; ++m)
        means[m] = sinc(m * pi / across * side / 2);
    return means;
}

// Over all modes (m, n) with m + n > 0; `term(m, K)` of the mode's wave number.
template <class Of> Sum sumOverBox(const BoxPlace& b, const Mouth& mouth, const Of& term)
{
    Sum sum;
    sum.lowest = pi / std::max(b.width, b.breadth);
    const double most = limitOf(mouth), share = areaOf(mouth) / (b.width * b.breadth);
    const int mostX = int(most * b.width / pi), mostY = int(most * b.breadth / pi);
    const Amplitudes amplitudes(b, mostX, mostY);
    const std::vector<double> meanX = meansOver(mouth.width, b.width, mostX);
    const std::vector<double> meanY = meansOver(mouth.height, b.breadth, mostY);
    for (int m = 0; m <= mostX; ++m) {
        const double Kx = m * pi / b.width;
        const int last = std::min(mostY, int(b.breadth / pi * std::sqrt(std::max(square(most) - square(Kx), 0.0))));
        for (int n = m == 0 ? 1 : 0; n <= last; ++n) {
            const double modes = (m > 0 ? 2 : 1) * (n > 0 ? 2 : 1) * amplitudes.squared(m, n);
            if (modes < 1e-12) continue;  // the mouth sits on this mode's node
            const double Ky = n * pi / b.breadth;
            const double mean = isSlot(mouth) ? meanX[m] * meanY[n] : meanOver(mouth, Kx, Ky);
            const double g = modes * square(mean);
            if (g > 1e-14) sum.add(share * g, term(m, std::sqrt(Kx * Kx + Ky * Ky)));
        }
    }
    return sum;
}

// Integral of a smooth function over 0..1.
template <class Of> double integral(const Of& f)
{
    constexpr int n = 200;  // midpoint of a function made smooth at both ends: below 1e-6
    double sum = 0;
    for (int i = 0; i < n; ++i)
        sum += f((i + 0.5) / n);
    return sum / n;
}

// From the plate's corner into a duct of height a beside it: the constant of x = a/pi ln zeta + constant, heights over
// the whole. `near` and `far` are the images of the plate's corners, counted from that duct's end.
double cornerConstant(double a, double near, double far)
{
    const double rest = integral([&](double v) {
        const double s = near * (1 - v * v);  // the root at the corner becomes smooth
        return (std::sqrt((near - s) * (far - s)) / (1 - s) - a) / s * near * 2 * v;
    });
    return -(rest + a * std::log(near)) / pi;
}

}  // namespace

Mouth roundMouth(double radius) { return {radius, 0, 0}; }
Mouth slotMouth(double width, double height) { return {std::sqrt(width * height / pi), width, height}; }
double areaOf(const Mouth& mouth) { return pi * square(mouth.radius); }

double uniformExcess(const Mouth& m)
{
    if (!isSlot(m)) return 0.0271 * m.radius;
    const double aspect = std::max(m.width / m.height, m.height / m.width);
    return (0.0305 - 0.005 * std::log2(aspect)) * m.radius;
}

InnerEnd innerEndInBox(const BoxPlace& b, const Mouth& mouth)
{
    return endOf(sumOverBox(b, mouth, [&](int, double K) { return evanescent(K, b.depth); }), mouth);
}

double asideLength(const BoxPlace& b, const Mouth& mouth, double before)
{
    return sumOverBox(b, mouth, [&](int, double K) { return Term{(1 + std::exp(-2 * K * before)) / K, 0}; }).l0;
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

double outerEndInFront(const Mouth& mouth, double frontRadius)
{
    const double b = std::max(frontRadius, mouth.radius);
    if (!isSlot(mouth)) return outerEndInFront(mouth.radius, b);
    return outerEndInWall(mouth) * outerEndInFront(mouth.radius, b) / (0.8216 * mouth.radius);
}

ShelfEnd shelfEnd(double slotHeight, double besideHeight, double shelf)
{
    const double c = slotHeight + besideHeight + shelf, a = slotHeight / c, b = besideHeight / c;
    // Corners at the roots of z^2 - (1 + a^2 - b^2) z + a^2, between the slot's end 0 and the other duct's end 1.
    const double half = (1 + a * a - b * b) / 2, root = std::sqrt(std::max(half * half - a * a, 0.0));
    const double first = half - root, second = half + root;
    ShelfEnd end;
    end.slot = cornerConstant(a, first, second);
    end.beside = cornerConstant(b, 1 - second, 1 - first);
    end.before = a * end.slot + b * end.beside;
    return {end.slot * c, end.beside * c, end.before * c};
}

double neighbourLength(double radius, double distance) { return square(radius) / (2 * distance); }

}  // namespace portwright
