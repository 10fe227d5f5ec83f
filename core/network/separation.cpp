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
Eigen::ArrayXd flowLeft(const Eigen::ArrayXd& b, const Eigen::ArrayXd& s)
{
    const Eigen::ArrayXd size = s.sqrt();
    const Eigen::ArrayXd resistive = 2 / (1 + (1 + 4 * size).sqrt());
    const Eigen::ArrayXd reactive = (2 / (1 + (1 + 4 * s).sqrt())).sqrt();
    const Eigen::ArrayXd share = (size > 0).select(b / size.max(1e-300), 0.0);
    Eigen::ArrayXd y = reactive + share * (resistive - reactive);
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
    const Eigen::ArrayXd y = flowLeft(k * G.real().max(0.0), k.square() * G.abs2());
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

// d(|U| U) = |U| (1.5 dU + 0.5 e^{2j arg U} conj(dU)), as a real matrix on (Re, Im), times r.
Eigen::MatrixXd slopeOfLoss(const Eigen::VectorXcd& U, const Eigen::VectorXd& r)
{
    const Eigen::Index n = U.size();
    Eigen::MatrixXd slope = Eigen::MatrixXd::Zero(2 * n, 2 * n);
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

Eigen::MatrixXd realForm(const Eigen::MatrixXcd& G)
{
    const Eigen::Index n = G.rows();
    Eigen::MatrixXd R(2 * n, 2 * n);
    R << G.real(), -G.imag(), G.imag(), G.real();
    return R;
}

Eigen::VectorXd realForm(const Eigen::VectorXcd& v)
{
    Eigen::VectorXd R(2 * v.size());
    R << v.real(), v.imag();
    return R;
}

Eigen::VectorXcd complexForm(const Eigen::VectorXd& v)
{
    const Eigen::Index n = v.size() / 2;
    Eigen::VectorXcd z(n);
    z.real() = v.head(n);
    z.imag() = v.tail(n);
    return z;
}

Eigen::VectorXcd lossOf(const Eigen::VectorXcd& U, const Eigen::VectorXd& r)
{
    return (r.array() * U.array().abs() * U.array()).matrix();
}

// U + G r |U| U = a for several mouths. Each step of Newton's method leads down: the slope is never singular, as
// neither G nor the loss gives power back.
Eigen::VectorXcd severalFlows(const Eigen::VectorXcd& a, const Eigen::MatrixXcd& G, const Eigen::VectorXd& r)
{
    const Eigen::Index n = a.size();
    const auto residual = [&](const Eigen::VectorXcd& U) -> Eigen::VectorXcd { return U + G * lossOf(U, r) - a; };
    const double scale = a.norm();
    if (!(scale > 0)) return Eigen::VectorXcd::Zero(n);
    Eigen::VectorXcd U(n);
    for (Eigen::Index i = 0; i < n; ++i) {  // each as if it were alone
        const double k = r[i] * std::abs(a[i]);
        const auto only = [](double x) { return Eigen::ArrayXd::Constant(1, x); };
        const Complex g = G(i, i);
        U[i] = a[i] / (1.0 + g * k * flowLeft(only(k * std::max(g.real(), 0.0)), only(k * k * std::norm(g)))[0]);
    }
    const Eigen::MatrixXd full = realForm(G), one = Eigen::MatrixXd::Identity(2 * n, 2 * n);
    Eigen::VectorXcd rest = residual(U);
    constexpr int most = 100;
    for (int step = 0; step < most && rest.norm() > 1e-14 * scale; ++step) {
        const Eigen::VectorXcd change =
            complexForm((one + full * slopeOfLoss(U, r)).partialPivLu().solve(realForm(Eigen::VectorXcd(-rest))));
        double share = 1;
        Eigen::VectorXcd next = U + change, nextRest = residual(next);
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

// Several mouths, one frequency after another.
std::vector<Flow> severalPressures(const BySource& linear, std::span<const double> r, const Eigen::ArrayXd& drive,
                                   const Eigen::ArrayXd& dDrive)
{
    const auto n = Eigen::Index(r.size()), points = drive.size();
    const bool derive = linear.into[1][0].derivative.size() > 0;
    std::vector<Flow> p(r.size(), {Eigen::ArrayXcd(points), Eigen::ArrayXcd(derive ? points : 0)});
    const Eigen::Map<const Eigen::VectorXd> rs(r.data(), n);
    Eigen::VectorXcd a(n), da(n);
    Eigen::MatrixXcd G(n, n), dG(n, n);
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
        const Eigen::VectorXd k = rs * drive[f];
        const Eigen::VectorXcd U = severalFlows(a, G, k), loss = lossOf(U, k);
        for (Eigen::Index i = 0; i < n; ++i)
            p[std::size_t(i)].value[f] = loss[i];
        if (!derive) continue;
        const Eigen::MatrixXd slope = slopeOfLoss(U, k), one = Eigen::MatrixXd::Identity(2 * n, 2 * n);
        const Eigen::VectorXcd ofDrive = lossOf(U, rs * dDrive[f]);
        const Eigen::VectorXcd h = da - dG * loss - G * ofDrive;
        const Eigen::VectorXd dU = (one + realForm(G) * slope).partialPivLu().solve(realForm(h));
        const Eigen::VectorXcd dp = complexForm(slope * dU) + ofDrive;
        for (Eigen::Index i = 0; i < n; ++i)
            p[std::size_t(i)].derivative[f] = dp[i];
    }
    return p;
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
    return severalPressures(linear, r, drive, dDrive);
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
    return drive * severalFlows(own, admittance, r * drive);
}

}  // namespace portwright
