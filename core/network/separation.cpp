// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/network/separation.h"

#include <Eigen/LU>
#include <cmath>

namespace portwright {

namespace {

using Complex = std::complex<double>;

// Share y in (0, 1] of the flow that is left, |U| = y |a|, where b = r |a| Re G and s = (r |a| |G|)^2: the root of
// y^2 + 2 b y^3 + s y^4 = 1, which rises and bends upwards, so that Newton's method cannot miss it. It starts between
// the solutions of a purely resistive and a purely reactive G.
template <class Reals> Reals flowLeft(const Reals& b, const Reals& s)
{
    const Reals size = s.sqrt();
    const Reals resistive = 2 / (1 + (1 + 4 * size).sqrt());
    const Reals reactive = (2 / (1 + (1 + 4 * s).sqrt())).sqrt();
    const Reals share = (size > 0).select(b / size.max(1e-300), 0.0);
    Reals y = reactive + share * (resistive - reactive);
    constexpr int enough = 5;  // the start is within 3 %: errors 1e-3, 1e-6, 1e-12 and rounding follow
    for (int i = 0; i < enough; ++i)
        y -= (y.square() * (1 + y * (2 * b + s * y)) - 1) / (y * (2 + y * (6 * b + 4 * s * y)));
    return y;
}

// 1/z in real arithmetic, which vectorises; nothing here is near overflow.
Eigen::ArrayXcd reciprocal(const Eigen::ArrayXcd& z) { return z.conjugate() * z.abs2().inverse(); }

// One mouth, the whole grid at once: U + G r |U| U = a.
Flow onePressure(const BySource& linear, double r, const Eigen::ArrayXd& drive, const Eigen::ArrayXd& dDrive)
{
    const Flow& a = linear.into[1][0];
    const Flow& minusG = linear.into[1][1];
    const Eigen::ArrayXcd G = -minusG.value;
    const Eigen::ArrayXd size = a.value.abs2().sqrt(), k = r * drive * size;
    const auto y = flowLeft<Eigen::ArrayXd>(k * G.real().max(0.0), k.square() * G.abs2());
    const Eigen::ArrayXd q = k * y;  // r |U|, a resistance
    const Eigen::ArrayXcd U = a.value * reciprocal(1 + G * q);
    Flow p{q * U, {}};
    if (a.derivative.size() == 0) return p;
    // alpha dU + beta conj(dU) = h, from the derivative of |U| U
    const Eigen::ArrayXcd turn = U.square() / U.abs2().max(1e-300), Gq = G * q;
    const Eigen::ArrayXcd alpha = 1 + 1.5 * Gq, beta = 0.5 * Gq * turn;
    const Eigen::ArrayXcd ofDrive = r * dDrive * (size * y) * U;
    const Eigen::ArrayXcd h = a.derivative + minusG.derivative * p.value - G * ofDrive;
    const Eigen::ArrayXcd dU = (alpha.conjugate() * h - beta * h.conjugate()) / (alpha.abs2() - beta.abs2());
    p.derivative = ofDrive + q * (1.5 * dU + 0.5 * turn * dU.conjugate());
    return p;
}

// Several mouths, N of them: 2 and 3 are known when this is compiled, so that no matrix asks for memory.
template <int N> struct Mouths {
    static constexpr int twice = N == Eigen::Dynamic ? Eigen::Dynamic : 2 * N;
    using Vector = Eigen::Matrix<Complex, N, 1>;
    using Matrix = Eigen::Matrix<Complex, N, N>;
    using Reals = Eigen::Matrix<double, N, 1>;
    using RealPairs = Eigen::Matrix<double, twice, 1>;  // real parts, then imaginary ones
    using PairMatrix = Eigen::Matrix<double, twice, twice>;

    static RealPairs pairs(const Vector& v)
    {
        RealPairs p(2 * v.size());
        p << v.real(), v.imag();
        return p;
    }
    static PairMatrix pairs(const Matrix& G)
    {
        PairMatrix p(2 * G.rows(), 2 * G.rows());
        p << G.real(), -G.imag(), G.imag(), G.real();
        return p;
    }
    static Vector complex(const RealPairs& p)
    {
        const Eigen::Index n = p.size() / 2;
        Vector v(n);
        v.real() = p.head(n);
        v.imag() = p.tail(n);
        return v;
    }
    static Vector lossOf(const Vector& U, const Reals& r) { return (r.array() * U.array().abs() * U.array()).matrix(); }

    // Slope of r |U| U, from d(|U| U) = |U| (1.5 dU + 0.5 e^{2j arg U} conj(dU)).
    static PairMatrix slopeOfLoss(const Vector& U, const Reals& r)
    {
        const Eigen::Index n = U.size();
        PairMatrix slope = PairMatrix::Zero(2 * n, 2 * n);
        for (Eigen::Index i = 0; i < n; ++i) {
            const double size = std::abs(U[i]);
            const Complex turn = size > 0 ? U[i] * U[i] / (size * size) : Complex(0);
            const double q = r[i] * size;
            slope(i, i) = q * (1.5 + 0.5 * turn.real());
            slope(n + i, n + i) = q * (1.5 - 0.5 * turn.real());
            slope(i, n + i) = slope(n + i, i) = q * 0.5 * turn.imag();
        }
        return slope;
    }
    static RealPairs solved(const Matrix& G, const PairMatrix& slope, const Vector& right)
    {
        const PairMatrix one = PairMatrix::Identity(slope.rows(), slope.rows());
        const PairMatrix whole = one + pairs(G) * slope;
        return whole.partialPivLu().solve(pairs(right));
    }

    // Each as if it were alone.
    static Vector apart(const Vector& a, const Matrix& G, const Reals& r)
    {
        using One = Eigen::Array<double, 1, 1>;
        Vector U(a.size());
        for (Eigen::Index i = 0; i < a.size(); ++i) {
            const double k = r[i] * std::abs(a[i]);
            const Complex g = G(i, i);
            U[i] = a[i] / (1.0 + g * k * flowLeft(One(k * std::max(g.real(), 0.0)), One(k * k * std::norm(g)))[0]);
        }
        return U;
    }

    // U + G r |U| U = a. Each step of Newton's method leads down: the slope is never singular, as neither G nor the
    // loss gives power back.
    static Vector flows(const Vector& a, const Matrix& G, const Reals& r)
    {
        const auto residual = [&](const Vector& U) -> Vector { return U + G * lossOf(U, r) - a; };
        const double scale = a.norm();
        Vector U = apart(a, G, r), rest = residual(U);
        constexpr int most = 100;
        for (int step = 0; step < most && rest.norm() > 1e-14 * scale; ++step) {
            const Vector change = complex(solved(G, slopeOfLoss(U, r), -rest));
            double share = 1;
            Vector next = U + change, nextRest = residual(next);
            while (!(nextRest.norm() < rest.norm()) && share > 1e-6) {
                share /= 2;
                next = U + share * change;
                nextRest = residual(next);
            }
            if (!(nextRest.norm() < rest.norm())) break;  // as exact as numbers go
            U = next;
            rest = nextRest;
        }
        return U;
    }

    // One frequency after another.
    static std::vector<Flow> pressures(const BySource& linear, const Reals& r, const Eigen::ArrayXd& drive,
                                       const Eigen::ArrayXd& dDrive)
    {
        const Eigen::Index n = r.size(), points = drive.size();
        const bool derive = linear.into[1][0].derivative.size() > 0;
        std::vector<Flow> p(std::size_t(n), {Eigen::ArrayXcd(points), Eigen::ArrayXcd(derive ? points : 0)});
        Vector a(n), da(n);
        Matrix G(n, n), dG(n, n);
        for (Eigen::Index f = 0; f < points; ++f) {
            for (Eigen::Index i = 0; i < n; ++i) {
                const auto& into = linear.into[std::size_t(i) + 1];
                a[i] = into[0].value[f];
                if (derive) da[i] = into[0].derivative[f];
                for (Eigen::Index k = 0; k < n; ++k) {
                    G(i, k) = -into[std::size_t(k) + 1].value[f];
                    if (derive) dG(i, k) = -into[std::size_t(k) + 1].derivative[f];
                }
            }
            const Reals fed = r * drive[f];
            const Vector U = flows(a, G, fed), loss = lossOf(U, fed);
            for (Eigen::Index i = 0; i < n; ++i)
                p[std::size_t(i)].value[f] = loss[i];
            if (!derive) continue;
            const PairMatrix slope = slopeOfLoss(U, fed);
            const Vector ofDrive = lossOf(U, r * dDrive[f]);
            const Vector right = da - dG * loss - G * ofDrive;
            const Vector dp = complex(slope * solved(G, slope, right)) + ofDrive;
            for (Eigen::Index i = 0; i < n; ++i)
                p[std::size_t(i)].derivative[f] = dp[i];
        }
        return p;
    }
};

// Calls `call` with the Mouths of n.
template <class Call> auto withMouths(Eigen::Index n, const Call& call)
{
    if (n == 2) return call(Mouths<2>{});
    if (n == 3) return call(Mouths<3>{});
    return call(Mouths<Eigen::Dynamic>{});
}

}  // namespace

double separationFactor(double K, double area, int count, const Air& air)
{
    const double S = count * area;
    return 4 * std::numbers::sqrt2 / (3 * pi) * air.rho * K / (S * S);
}

std::vector<Flow> mouthPressures(const BySource& linear, std::span<const double> r, const Eigen::ArrayXd& drive,
                                 const Eigen::ArrayXd& dDrive)
{
    if (r.empty()) return {};
    if (r.size() == 1) return {onePressure(linear, r[0], drive, dDrive)};
    const Eigen::VectorXd all = Eigen::Map<const Eigen::VectorXd>(r.data(), Eigen::Index(r.size()));
    return withMouths(all.size(), [&](auto mouths) { return mouths.pressures(linear, all, drive, dDrive); });
}

Solution superposed(BySource linear, const std::vector<Flow>& pressures)
{
    Solution s = std::move(linear.alone.front());
    for (std::size_t m = 0; m < pressures.size(); ++m) {
        const Flow& p = pressures[m];
        const Solution& one = linear.alone[m + 1];
        for (std::size_t i = 0; i < s.node.size(); ++i) {
            s.node[i] += p.value * one.node[i];
            if (!s.dNode.empty()) s.dNode[i] += p.derivative * one.node[i] + p.value * one.dNode[i];
        }
    }
    return s;
}

Eigen::VectorXcd mouthFlows(const Eigen::VectorXcd& own, const Eigen::MatrixXcd& admittance, const Eigen::VectorXd& r,
                            double drive)
{
    return withMouths(
        r.size(), [&](auto mouths) -> Eigen::VectorXcd { return drive * mouths.flows(own, admittance, r * drive); });
}

}  // namespace portwright
