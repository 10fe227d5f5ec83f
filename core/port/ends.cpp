// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/ends.h"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <utility>

namespace portwright {

namespace {

double square(double x) { return x * x; }

bool isSlot(const Mouth& m) { return m.width > 0; }

double sinc(double u) { return std::abs(u) < 1e-9 ? 1 : std::sin(u) / u; }

// What a wall at H adds to a mode beyond the 1/q of an endless duct, coth(q H)/q - 1/q at k = 0, and the same by k^2.
struct Term {
    double value, byK2;
};
constexpr double wallUnseen = 14;  // K H from which it is below 1e-12 of the rest
Term wallPart(double K, double H)
{
    const double grown = std::expm1(2 * K * H), value = 2 / (K * grown);
    return {value, (value + H * 4 * (grown + 1) / square(grown)) / (2 * K * K)};
}

// coth(q H)/q at k = 0, where q = K, and its derivative by k^2.
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

constexpr double roundLimit = 20, slotLimit = 40;  // K a

// The same squared of a round mouth, up to the limit, from a table: cubics between values 1/128 apart are right to
// 1e-10.
class RoundMeans {
public:
    RoundMeans()
    {
        for (std::size_t i = 0; i < values_.size(); ++i)
            values_[i] = square(meanOver({1, 0, 0}, (double(i) - 1) / perUnit, 0));
    }
    double squared(double x) const
    {
        const double at = x * perUnit;
        const auto i = std::size_t(at);
        const double t = at - double(i), *v = &values_[i];  // v[1] is the value at i
        const double below = (t - 1) * (t - 2), above = (t + 1) * t;
        return below * ((t + 1) * v[1] / 2 - t * v[0] / 6) + above * ((t - 1) * v[3] / 6 - (t - 2) * v[2] / 2);
    }

private:
    static constexpr int perUnit = 128;
    std::array<double, int(roundLimit* perUnit) + 6> values_{};
};

// Modes are taken up to K a = 20. What lies above is, for a round mouth, a/(pi 20^2) by the asymptotic J1; a slot's
// converge slower and are taken to 40.
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

// How strongly a mouth, or several driven in phase, drives the modes (m, n) of a section, up to a wave number. Those
// that it sits on the nodes of, half or more where it is in the middle, are left out.
class Drive {
public:
    Drive(const BoxPlace& b, const Mouth& mouth, double limit)
        : most_(std::min(limit, limitOf(mouth))), radius_(isSlot(mouth) ? 0 : mouth.radius), stepX_(pi / b.width),
          share_(areaOf(mouth) / (b.width * b.breadth))
    {
        auto centres = b.centres;
        if (centres.empty()) centres.push_back({0, 0});
        share_ /= double(centres.size());
        const double stepY = pi / b.breadth;
        const int mostX = int(most_ / stepX_), mostY = int(most_ / stepY);
        std::vector<double> lines;  // mouths on one line drive as one
        for (const auto& [x, y] : centres) {
            const auto line = std::size_t(std::find(lines.begin(), lines.end(), y) - lines.begin());
            if (line == lines.size()) {
                lines.push_back(y);
                x_.push_back(Eigen::ArrayXd::Zero(mostX + 1));
                y_.push_back(amplitudes(stepY, b.y + y, mouth.height, mostY));
            }
            x_[line] += amplitudes(stepX_, b.x + x, mouth.width, mostX);
        }
        keepDriven(stepY);
    }

    int rows() const { return int(x_[0].size()); }

    /// A row's (S/A) g_mn, and the squares of its wave numbers; the first of row 0 is the plane mode.
    void row(int m, Eigen::ArrayXd& weight, Eigen::ArrayXd& K2) const
    {
        const double Kx2 = square(m * stepX_);
        const auto count = isDriven(x_, m)
                               ? std::upper_bound(Ky2_.begin(), Ky2_.end(), square(most_) - Kx2) - Ky2_.begin()
                               : std::ptrdiff_t(0);
        K2 = Ky2_.head(count) + Kx2;
        weight = Eigen::ArrayXd::Zero(count);
        for (std::size_t i = 0; i < x_.size(); ++i)
            weight += x_[i][m] * y_[i].head(count);
        weight = share_ * weight.square();
        if (radius_ > 0) weight *= (K2.sqrt() * radius_).unaryExpr([](double x) { return roundMeans().squared(x); });
    }

private:
    double most_, radius_, stepX_, share_;
    std::vector<Eigen::ArrayXd> x_, y_;  // by lines
    Eigen::ArrayXd Ky2_;

    static bool isDriven(const std::vector<Eigen::ArrayXd>& amplitudes, Eigen::Index m)
    {
        return std::any_of(amplitudes.begin(), amplitudes.end(), [m](const auto& a) { return std::abs(a[m]) > 1e-9; });
    }

    void keepDriven(double stepY)
    {
        const Eigen::Index all = y_[0].size();
        Ky2_.resize(all);
        Eigen::Index kept = 0;
        for (Eigen::Index n = 0; n < all; ++n) {
            if (!isDriven(y_, n)) continue;
            Ky2_[kept] = square(double(n) * stepY);
            for (Eigen::ArrayXd& y : y_)
                y[kept] = y[n];
            ++kept;
        }
        Ky2_.conservativeResize(kept);
    }

    static const RoundMeans& roundMeans()
    {
        static const RoundMeans table;
        return table;
    }

    // Of the modes along one side at one mouth: the cosine there, what a slot's side leaves of it, and the norm's root.
    static Eigen::ArrayXd amplitudes(double step, double at, double side, int most)
    {
        Eigen::ArrayXd a = Eigen::ArrayXd::Ones(most + 1);
        for (int m = 1; m <= most; ++m)
            a[m] = std::sqrt(2) * std::cos(m * step * at) * (side > 0 ? sinc(m * step * side / 2) : 1);
        return a;
    }
};

// Over all modes (m, n) with m + n > 0; `term(m, K)` of the mode's wave number.
template <class Of> Sum sumOver(const Drive& drive, const Of& term)
{
    Sum sum;
    Eigen::ArrayXd weight, K2;
    for (int m = 0; m < drive.rows(); ++m) {
        drive.row(m, weight, K2);
        for (Eigen::Index n = m == 0 ? 1 : 0; n < K2.size(); ++n)
            sum.add(weight[n], term(m, std::sqrt(K2[n])));
    }
    return sum;
}

ModeSums::Sum sumInDuct(const BoxPlace& b, const Mouth& mouth)
{
    const Drive drive(b, mouth, limitOf(mouth));
    ModeSums::Sum sum;
    Eigen::ArrayXd weight, K2;
    for (int m = 0; m < drive.rows(); ++m) {
        drive.row(m, weight, K2);
        if (m == 0) weight[0] = 0, K2[0] = 1;  // the plane one
        weight *= K2.rsqrt();
        sum.l0 += weight.sum();
        sum.l2 += (weight / K2).sum() / 2;
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

const ModeSums::Sum& ModeSums::of(const BoxPlace& box, const Mouth& mouth)
{
    constexpr double unit = 1e12;  // 1/m
    std::vector<std::int64_t> key;
    const auto rounded = [&key](double x) {
        key.push_back(std::llround(x * unit));
        return double(key.back()) / unit;
    };
    BoxPlace b{rounded(box.width), rounded(box.breadth), 0, rounded(box.x), rounded(box.y)};
    const Mouth m{rounded(mouth.radius), rounded(mouth.width), rounded(mouth.height)};
    for (const auto& [x, y] : box.centres)
        b.centres.push_back({rounded(x), rounded(y)});
    const auto found = known_.find(key);
    return found != known_.end() ? found->second : known_.emplace(std::move(key), sumInDuct(b, m)).first->second;
}

InnerEnd innerEndInBox(const BoxPlace& b, const Mouth& mouth, ModeSums* known)
{
    const ModeSums::Sum endless = known ? known->of(b, mouth) : sumInDuct(b, mouth);
    const double limit = wallUnseen / b.depth;
    Sum sum{endless.l0, endless.l2, pi / std::max(b.width, b.breadth)};
    if (limit > sum.lowest) {
        const Sum wall = sumOver(Drive(b, mouth, limit), [&](int, double K) { return wallPart(K, b.depth); });
        sum.l0 += wall.l0, sum.l2 += wall.l2;
    }
    return endOf(sum, mouth);
}

double asideLength(const BoxPlace& b, const Mouth& mouth, double before, ModeSums* known)
{
    const double endless = known ? known->of(b, mouth).l0 : sumInDuct(b, mouth).l0;
    return endless + sumOver(Drive(b, mouth, wallUnseen / before), [&](int, double K) {
                         return Term{std::exp(-2 * K * before) / K, 0};
                     }).l0;
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
    Sum sum = sumOver(Drive(b, mouth, limitOf(mouth)),
                      [&](int m, double K) { return m == 0 ? evanescentButPlane(K, H) : evanescent(K, H); });
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
