// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/reached_drive.h"

#include "core/network/separation.h"

#include <cmath>
#include <limits>

namespace portwright {

namespace {

using Complex = std::complex<double>;
constexpr double unlimited = std::numeric_limits<double>::infinity();

// The smallest x >= 0 of x^2 (A + 2 B x + C x^2) = L2, A and C >= 0, L2 > 0; infinite if there is none. Where it does
// not rise throughout, the first crossing lies on the near side of its hump or, if the hump stays below, behind its
// dip.
double firstRise(double A, double B, double C, double L2)
{
    const auto value = [&](double x) { return x * x * (A + x * (2 * B + x * C)); };
    if (!(A > 0 || B > 0 || C > 0)) return unlimited;
    double low = 0, high = 0;
    const double bend = 9 * B * B - 8 * A * C;
    if (B < 0 && bend > 0) {
        const double hump = 2 * A / (-3 * B + std::sqrt(bend));  // the smaller root of A + 3 B x + 2 C x^2
        if (value(hump) >= L2)
            high = hump;
        else
            low = (-3 * B + std::sqrt(bend)) / (4 * C);
    }
    if (high == 0) {
        if (C > 0) high = std::sqrt(std::sqrt(L2 / C));
        if (A > 0) high = high > 0 ? std::min(high, std::sqrt(L2 / A)) : std::sqrt(L2 / A);
        if (!(high > low)) high = low > 0 ? 2 * low : std::cbrt(L2 / (2 * B));
        while (value(high) < L2)
            high *= 2;
    }
    double x = high;
    for (int i = 0; i < 100; ++i) {
        const double slope = x * (2 * A + x * (6 * B + x * 4 * C)), excess = value(x) - L2;
        (excess > 0 ? high : low) = x;
        double next = x - excess / slope;
        if (!(next > low && next < high)) next = (low + high) / 2;
        if (std::abs(next - x) <= 1e-13 * x) return next;
        x = next;
    }
    return x;
}

// One frequency of a housing whose ports separate: flows out of the mouths for 1 V, what flows in for 1 Pa at each.
struct Mouths {
    Eigen::VectorXcd own;
    Eigen::MatrixXcd admittance;
    Eigen::VectorXd r;
};

Mouths mouthsAt(const Superposition& s, Eigen::Index f)
{
    const auto n = Eigen::Index(s.network.separation.size());
    Mouths m{Eigen::VectorXcd(n), Eigen::MatrixXcd(n, n), Eigen::VectorXd(n)};
    for (Eigen::Index i = 0; i < n; ++i) {
        const auto& into = s.linear.into[std::size_t(i) + 1];
        m.own[i] = into[0].value[f];
        m.r[i] = s.network.separation[std::size_t(i)];
        for (Eigen::Index k = 0; k < n; ++k)
            m.admittance(i, k) = -into[std::size_t(k) + 1].value[f];
    }
    return m;
}

// |q0 D + sum q_j p_j| of a flow that the feed D and the pressures at the mouths drive.
double sizeAt(const Mouths& m, const Eigen::VectorXcd& q, double drive)
{
    const Eigen::VectorXcd U = mouthFlows(m.own, m.admittance, m.r, drive);
    const Eigen::VectorXcd p = (m.r.array() * U.array().abs() * U.array()).matrix();
    return std::abs(q[0] * drive + q.tail(m.r.size()).cwiseProduct(p).sum());
}

// One mouth, whole bands. With x = |U| at it, the drive is x |1 + G r x|/|a| and the flow x |q0 + (q0 G + q1 a) r
// x|/|a|.
Eigen::ArrayXd drivesForOne(const Superposition& s, const Eigen::ArrayXcd& q0, const Eigen::ArrayXcd& q1,
                            const Eigen::ArrayXd& limit)
{
    const auto& into = s.linear.into[1];
    const double r = s.network.separation[0];
    const Eigen::ArrayXcd& a = into[0].value;
    const Eigen::ArrayXcd Gr = -r * into[1].value, g = q0 * Gr + r * q1 * a;
    const Eigen::ArrayXd A = q0.abs2(), B = (q0.conjugate() * g).real(), C = g.abs2(), own = a.abs2();
    Eigen::ArrayXd x(limit.size());
    for (Eigen::Index f = 0; f < x.size(); ++f)
        x[f] = firstRise(A[f], B[f], C[f], limit[f] * limit[f] * own[f]);
    const Eigen::ArrayXd drive = x.isFinite().select(x * ((1 + Gr * x).abs2() / own).sqrt(), unlimited);
    // where nothing flows through the port at all the feed alone counts
    return (own > 0).select(drive, limit / A.sqrt());
}

// The same for several mouths: upwards in steps of a factor of 2, so that the first crossing is met, then by secants of
// the logarithms, in which the flow is nearly a straight line.
double driveForSeveral(const Mouths& m, const Eigen::VectorXcd& q, double limit)
{
    const auto above = [&](double drive) { return std::log(sizeAt(m, q, drive) / limit); };
    const double alone = std::abs(q[0]) > 0 ? limit / std::abs(q[0]) : 1;
    double low = alone / 4, atLow = above(low);
    for (int i = 0; atLow > 0 && i < 60; ++i)
        atLow = above(low /= 16);
    double high = 2 * low, atHigh = above(high);
    for (int i = 0; !(atHigh > 0) && i < 60; ++i) {
        low = high, atLow = atHigh;
        atHigh = above(high *= 2);
    }
    if (!(atHigh > 0)) return unlimited;
    for (int i = 0; i < 100 && high / low - 1 > 1e-14; ++i) {
        const double share = std::isfinite(atLow) ? atLow / (atLow - atHigh) : 0.5;
        // every third step halves, so that neither end lags behind
        const double middle = low * std::pow(high / low, i % 3 == 2 ? 0.5 : share);
        const double at = above(middle);
        if (std::abs(at) < 1e-14) return middle;
        (at > 0 ? high : low) = middle;
        (at > 0 ? atHigh : atLow) = at;
    }
    return std::sqrt(low * high);
}

}  // namespace

Eigen::ArrayXd reachedDrive(const Superposition& s, const std::vector<const Eigen::ArrayXcd*>& flow,
                            const Eigen::ArrayXd& limit)
{
    Eigen::ArrayXd drive(limit.size());
    const auto mouths = Eigen::Index(s.network.separation.size());
    if (mouths == 1) return drivesForOne(s, *flow[0], *flow[1], limit);
    for (Eigen::Index f = 0; f < limit.size(); ++f) {
        Eigen::VectorXcd q(mouths + 1);
        for (Eigen::Index k = 0; k <= mouths; ++k)
            q[k] = (*flow[std::size_t(k)])[f];
        drive[f] = driveForSeveral(mouthsAt(s, f), q, limit[f]);
    }
    return drive;
}

}  // namespace portwright
