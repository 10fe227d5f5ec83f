// SPDX-License-Identifier: GPL-3.0-or-later
// Ducts and ports as lines: chain matrices, slice by slice, and the admittances they come to.
#include "core/network/boundary_layer.h"
#include "core/network/stamp.h"

#include <array>
#include <cmath>
#include <functional>

namespace portwright {

namespace {

using Complex = std::complex<double>;
constexpr Complex j{0, 1};

// Products in plain real arithmetic: the library's complex product also looks for infinities, which take half the time
// here and never occur.
Complex product(Complex a, Complex b)
{
    return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}
Complex reciprocal(Complex a)
{
    const double n = 1 / (a.real() * a.real() + a.imag() * a.imag());
    return {a.real() * n, -a.imag() * n};
}

// A complex number with its derivative by w, or without one: the same algebra serves both.
struct Plain {
    Complex v;
    static constexpr bool derives = false;
    Plain(Complex value = 0, Complex = 0) : v(value) {}
};
struct Dual {
    Complex v, d;
    static constexpr bool derives = true;
    Dual(Complex value = 0, Complex derivative = 0) : v(value), d(derivative) {}
};
Plain operator+(Plain a, Plain b) { return {a.v + b.v}; }
Plain operator-(Plain a, Plain b) { return {a.v - b.v}; }
Plain operator*(Plain a, Plain b) { return {product(a.v, b.v)}; }
Plain operator*(double a, Plain b) { return {a * b.v}; }
Plain inverse(Plain a) { return {reciprocal(a.v)}; }
Dual operator+(Dual a, Dual b) { return {a.v + b.v, a.d + b.d}; }
Dual operator-(Dual a, Dual b) { return {a.v - b.v, a.d - b.d}; }
Dual operator*(Dual a, Dual b) { return {product(a.v, b.v), product(a.v, b.d) + product(a.d, b.v)}; }
Dual operator*(double a, Dual b) { return {a * b.v, a * b.d}; }
Dual inverse(Dual a)
{
    const Complex r = reciprocal(a.v);
    return {r, -product(product(r, r), a.d)};
}

// cosh x, sinh x / x and (cosh x - sinh x / x)/x^2 of x^2 = u: series near 0, where the last two are 0/0.
template <class Number> struct Waves {
    Number ch, s, h;
};

template <class Number, std::size_t n> Number polynomial(const std::array<double, n>& a, Number u)
{
    Number sum(a[n - 1]);
    for (std::size_t i = n - 1; i-- > 0;)
        sum = Number(a[i]) + sum * u;
    return sum;
}

template <class Number> Waves<Number> wavesOf(Number u)
{
    constexpr double nearZero = 0.3;  // the first term left out is then below 1e-15 of the sum
    if (std::norm(u.v) < nearZero * nearZero) {
        static constexpr std::array ch{1., 1 / 2., 1 / 24., 1 / 720., 1 / 40320., 1 / 3628800., 1 / 479001600.};
        static constexpr std::array s{1., 1 / 6., 1 / 120., 1 / 5040., 1 / 362880., 1 / 39916800., 1 / 6227020800.};
        static constexpr std::array h{1 / 3., 1 / 30., 1 / 840., 1 / 45360., 1 / 3991680., 1 / 518918400.};
        return {polynomial(ch, u), polynomial(s, u), polynomial(h, u)};
    }
    constexpr double deadest = 150;  // Np: nothing comes through, and exp stays far from overflow
    Complex x = std::sqrt(u.v);
    if (x.real() > deadest) x = {deadest, x.imag()};
    const Complex e = std::exp(x), i = reciprocal(e), r = reciprocal(u.v);
    const Complex ch = 0.5 * (e + i), s = product(0.5 * (e - i), reciprocal(x)), h = product(ch - s, r);
    if constexpr (Number::derives)  // d/du: cosh' = s/2, s' = h/2, h' = (s - 3 h)/(2 u)
        return {Number(ch, 0.5 * product(s, u.d)), Number(s, 0.5 * product(h, u.d)),
                Number(h, 0.5 * product(product(s - 3.0 * h, r), u.d))};
    else
        return {ch, s, h};
}

template <class Number> struct Matrix {
    Number A, B, C, D;
};

// m := m times the matrix of a series impedance.
template <class Number> void appendSeries(Matrix<Number>& m, Number Z)
{
    m.B = m.B + m.A * Z;
    m.D = m.D + m.C * Z;
}

template <class Number> Matrix<Number> operator*(const Matrix<Number>& a, const Matrix<Number>& b)
{
    return {a.A * b.A + a.B * b.C, a.A * b.B + a.B * b.D, a.C * b.A + a.D * b.C, a.C * b.B + a.D * b.D};
}

// Series impedance and shunt admittance per metre of 1 m2.
template <class Number> struct Medium {
    Number z, y;
};

template <class Number> Number realPart(const Number& a)
{
    Number r(a.v.real());
    if constexpr (Number::derives) r.d = a.d.real();
    return r;
}

// Air in a smooth bore, its spring fill/(1 + j w tau) times the adiabatic one.
template <class Number> Medium<Number> smooth(double fill, double tau, double w, const Air& air)
{
    const Number jw(j * w, j);
    Number y = (fill / (air.rho * air.c * air.c)) * jw;
    if (tau > 0) y = y * inverse(Number(1) + tau * jw);
    return {air.rho * jw, y};
}

// What walls add to it: friction to z, heat exchange of what is not isothermal anyway to y.
template <class Number>
Medium<Number> wallShare(const HeldShare& friction, const HeldShare& heat, double fill, double w, const Air& air)
{
    const Number jw(j * w, j), one(1);
    const Number held(friction.F, friction.dF);
    return {air.rho * (jw * held * inverse(one - held)),
            ((air.gamma - fill) / (air.rho * air.c * air.c)) * (jw * Number(heat.F, heat.dF))};
}

// What of a slice does not depend on frequency.
struct Prepared {
    double length, ratio, e1, e2, root, radius;  // r2/r1, (r2 - r1)/r1, (r2 - r1)/r2, sqrt(S1 S2), hydraulic
};

struct PreparedDuct {
    const Duct& duct;
    std::vector<Prepared> slices;
};

PreparedDuct prepared(const Duct& duct)
{
    PreparedDuct p{duct, {}};
    p.slices.reserve(duct.slices.size());
    for (const DuctSlice& s : duct.slices) {
        const double ratio = std::sqrt(s.lastArea / s.firstArea), root = std::sqrt(s.firstArea * s.lastArea);
        const double mean = (s.firstArea + s.lastArea + root) / 3;
        const double radius = s.perimeter > 0 ? 2 * mean / s.perimeter : std::sqrt(mean / pi);
        p.slices.push_back({s.length, ratio, ratio - 1, 1 - 1 / ratio, root, radius});
    }
    return p;
}
// A port needs no preparing; it is only looked at where its element stands.
std::reference_wrapper<const PortLine> prepared(const PortLine& line) { return line; }

template <class Number>
Matrix<Number> sliceMatrix(const Prepared& s, Medium<Number> m, double fill, bool walls, double w, const Air& air)
{
    if (walls) {
        const double nu = air.mu / air.rho;
        const auto share =
            wallShare<Number>(heldShareRound(s.radius, w, nu), heldShareRound(s.radius, w, nu / air.Pr), fill, w, air);
        m = {m.z + realPart(share.z), m.y + realPart(share.y)};
    }
    const Waves<Number> x = wavesOf((s.length * s.length) * (m.z * m.y));
    return {s.ratio * x.ch - s.e1 * x.s, (s.length / s.root) * (m.z * x.s),
            (s.length * s.root) * (m.y * (x.s + (s.e1 * s.e2) * x.h)), (1 / s.ratio) * x.ch + s.e2 * x.s};
}

template <class Number> Matrix<Number> matrixOf(const PreparedDuct& p, double w, const Air& air)
{
    const Medium<Number> bare = smooth<Number>(p.duct.fill, p.duct.absorption, w, air);
    Matrix<Number> m{Number(1), Number(0), Number(0), Number(1)};
    for (const Prepared& s : p.slices)
        m = m * sliceMatrix<Number>(s, bare, p.duct.fill, p.duct.walls, w, air);
    return m;
}

// --- Port ---

template <class Number> Number innerImpedance(const PortLine& p, double w, const Air& air)
{
    const double k = std::min(w / air.c, p.inner.heldFrom);
    const double slope = w / air.c < p.inner.heldFrom ? 2 * p.inner.l2 * k / air.c : 0;
    return (air.rho / p.area) * (Number(j * w, j) * Number(p.inner.l0 + p.inner.l2 * k * k, slope));
}

// Radiation of one mouth over rho c/S: (1 + R)/(1 - R) of R = -(1 + n1 jx)/(1 + d1 jx + d2 (jx)^2), x = ka.
template <class Number> Number outerImpedance(const PortLine& p, double w, const Air& air)
{
    const Number jw(j * w, j);
    if (p.outer.radiation == Radiation::none) return (air.rho * p.outer.length / p.area) * jw;
    const bool flush = p.outer.radiation == Radiation::flush;
    const double n1 = flush ? 0.182 : 0.167, d1 = flush ? 1.825 : 1.393, d2 = flush ? 0.649 : 0.457;
    const double a = p.radius / air.c, characteristic = air.rho * air.c / p.area;
    const Number jx = a * jw, low = (d1 - n1) * jx, square = d2 * (jx * jx);
    Number Z = (low + square) * inverse(Number(2) + (d1 + n1) * jx + square);
    // The other mouths, in phase and near: each adds x^2/2 (flush) or x^2/4 at low frequency, levelling off where the
    // mouths no longer meet as one.
    const Number n = (p.count - 1) * (flush ? 0.5 : 0.25) * (jx * jx);
    Z = Z - n * inverse(Number(1) - double(p.count) * (jx * jx));
    const double added = p.outer.length - (d1 - n1) / 2 * p.radius;
    Number total = characteristic * Z + (air.rho * added / p.area) * jw;
    if (p.givenLoss) {
        total.v = Complex(0, total.v.imag());
        if constexpr (Number::derives) total.d = Complex(0, total.d.imag());
    }
    return total;
}

template <class Number> Matrix<Number> matrixOf(const PortLine& p, double w, const Air& air)
{
    Medium<Number> m = smooth<Number>(1, 0, w, air);
    if (!p.givenLoss) {
        const auto held = [&](double diffusivity) {
            return p.slotHeight > 0 ? heldShareSlot(p.slotHeight, w, diffusivity)
                                    : heldShareRound(p.radius, w, diffusivity);
        };
        const double nu = air.mu / air.rho;
        const auto walls = wallShare<Number>(held(nu), held(nu / air.Pr), 1, w, air);
        m = {m.z + walls.z, m.y + walls.y};
    }
    const Waves<Number> x = wavesOf((p.length * p.length) * (m.z * m.y));
    const Number half(p.givenLoss.value_or(0) / 2);
    Matrix<Number> line{x.ch, (p.length / p.area) * (m.z * x.s), (p.length * p.area) * (m.y * x.s), x.ch};
    const Number Z1 = innerImpedance<Number>(p, w, air) + half, Z2 = outerImpedance<Number>(p, w, air) + half;
    line.A = line.A + Z1 * line.C;
    line.B = line.B + Z1 * line.D;
    appendSeries(line, Z2);
    const double n = p.count;  // side by side: the flows add
    return {line.A, (1 / n) * line.B, n * line.C, line.D};
}

Chain chainOf(const Matrix<Dual>& m) { return {m.A.v, m.B.v, m.C.v, m.D.v, m.A.d, m.B.d, m.C.d, m.D.d}; }

void prepare(Band& b, const Grid& grid, bool derive)
{
    b.value.resize(grid.size());
    if (derive) b.derivative.resize(grid.size());
}

void put(Band& b, Eigen::Index i, Plain y) { b.value[i] = y.v; }
void put(Band& b, Eigen::Index i, Dual y)
{
    b.value[i] = y.v;
    b.derivative[i] = y.d;
}

template <class Number, class Line> LineBand lineBand(const Line& e, bool closed, const Grid& grid, const Air& air)
{
    LineBand y;
    prepare(y.first, grid, Number::derives);
    if (!closed) {
        prepare(y.across, grid, Number::derives);
        prepare(y.last, grid, Number::derives);
    }
    const auto& line = prepared(e);
    for (Eigen::Index i = 0; i < grid.size(); ++i) {
        const Matrix<Number> m = matrixOf<Number>(line, grid.omega[i], air);
        if (closed) {
            put(y.first, i, m.C * inverse(m.A));
            continue;
        }
        const Number across = inverse(m.B);
        put(y.first, i, m.D * across);
        put(y.across, i, across);
        put(y.last, i, m.A * across);
    }
    return y;
}

}  // namespace

Chain chainAt(const Duct& duct, double omega, const Air& air)
{
    return chainOf(matrixOf<Dual>(prepared(duct), omega, air));
}
Chain chainAt(const PortLine& line, double omega, const Air& air) { return chainOf(matrixOf<Dual>(line, omega, air)); }

LineBand admittanceOf(const Duct& e, const Grid& grid, const Air& air, Derivatives want)
{
    return want == Derivatives::yes ? lineBand<Dual>(e, e.closed, grid, air) : lineBand<Plain>(e, e.closed, grid, air);
}

LineBand admittanceOf(const PortLine& e, const Grid& grid, const Air& air, Derivatives want)
{
    return want == Derivatives::yes ? lineBand<Dual>(e, false, grid, air) : lineBand<Plain>(e, false, grid, air);
}

}  // namespace portwright
