// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/network/stamp.h"

#include <cmath>

namespace portwright {

namespace {

using Complex = std::complex<double>;
constexpr Complex j{0, 1};

// 1/(R + j w M + 1/(j w C)), C 0: no compliance. The reciprocal is written out in real arithmetic, which vectorises.
Band seriesBranch(double R, double M, double C, const Grid& grid, Derivatives want)
{
    const Eigen::ArrayXd stiffness =
        C > 0 ? Eigen::ArrayXd((grid.omega * C).inverse()) : Eigen::ArrayXd::Zero(grid.size());
    const Eigen::ArrayXd X = grid.omega * M - stiffness;
    const Eigen::ArrayXd inverse = (X.square() + R * R).inverse();
    Band y;
    y.value.resize(grid.size());
    y.value.real() = R * inverse;
    y.value.imag() = -X * inverse;
    if (want == Derivatives::yes) {
        const Eigen::ArrayXd slope = M + stiffness / grid.omega;  // dX/dw
        y.derivative = -(y.value * y.value) * (j * slope);
    }
    return y;
}

}  // namespace

Band admittanceOf(const Compliance& e, const Grid& grid, const Air&, Derivatives want)
{
    if (e.R > 0) return seriesBranch(e.R, 0, e.C, grid, want);
    Band y{j * e.C * grid.omega, {}};
    if (want == Derivatives::yes) y.derivative = Eigen::ArrayXcd::Constant(grid.size(), j * e.C);
    return y;
}

Band admittanceOf(const Inertance& e, const Grid& grid, const Air&, Derivatives want)
{
    return seriesBranch(e.R, e.M, 0, grid, want);
}

Band admittanceOf(const Diaphragm& e, const Grid& grid, const Air&, Derivatives want)
{
    return seriesBranch(e.R, e.M, e.C, grid, want);
}

Band admittanceOf(const SeriesElement& e, const Grid& grid, const Air&, Derivatives want)
{
    return seriesBranch(e.R, e.L, e.C, grid, want);
}

Band admittanceOf(const Tube& e, const Grid& grid, const Air& air, Derivatives want)
{
    Band y;
    y.value.resize(grid.size());
    if (want == Derivatives::yes) y.derivative.resize(grid.size());
    for (Eigen::Index i = 0; i < grid.size(); ++i) {
        const ImpedanceAt z = impedanceAt(e, grid.omega[i], air);
        y.value[i] = 1.0 / z.Z;
        if (want == Derivatives::yes) y.derivative[i] = -y.value[i] * y.value[i] * z.dZ;
    }
    return y;
}

DriverBand admittanceOf(const DriverElement& e, const Grid& grid, Derivatives want)
{
    const Driver& d = e.driver;
    const bool derive = want == Derivatives::yes;
    Eigen::ArrayXcd Ze(grid.size()), dZe;
    if (const auto* plain = std::get_if<PlainInductance>(&d.inductance)) {
        Ze.real().setConstant(d.Re);
        Ze.imag() = grid.omega * plain->Le;
        if (derive) dZe = Eigen::ArrayXcd::Constant(grid.size(), j * plain->Le);
    } else {
        dZe.resize(grid.size());
        for (Eigen::Index i = 0; i < grid.size(); ++i) {
            const ImpedanceAt coil = impedanceAt(d.inductance, grid.omega[i]);
            Ze[i] = d.Re + coil.Z;
            dZe[i] = coil.dZ;
        }
    }
    Eigen::ArrayXcd Zm(grid.size());
    Zm.real().setConstant(d.Rms);
    Zm.imag() = grid.omega * d.Mms - (grid.omega * d.Cms).inverse();
    const Eigen::ArrayXcd D = Ze * Zm + d.Bl * d.Bl;
    Eigen::ArrayXcd r(grid.size());  // 1/D in real arithmetic
    {
        const Eigen::ArrayXd inverse = D.abs2().inverse();
        r.real() = D.real() * inverse;
        r.imag() = -D.imag() * inverse;
    }
    DriverBand y;
    y.electrical.value = Zm * r;
    y.coupling.value = d.Bl * d.Sd * r;
    y.mechanical.value = d.Sd * d.Sd * Ze * r;
    if (derive) {
        const Eigen::ArrayXcd dZm = j * (d.Mms + (grid.omega.square() * d.Cms).inverse());
        const Eigen::ArrayXcd dr = -(r * r) * (dZe * Zm + Ze * dZm);
        y.electrical.derivative = dZm * r + Zm * dr;
        y.coupling.derivative = d.Bl * d.Sd * dr;
        y.mechanical.derivative = d.Sd * d.Sd * (dZe * r + Ze * dr);
    }
    return y;
}

}  // namespace portwright
