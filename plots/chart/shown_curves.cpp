// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/shown_curves.h"

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

Curve curveOf(int slot, const QString& name, const Eigen::ArrayXd& x, const Eigen::ArrayXd& y, double unit)
{
    Curve c;
    c.slot = slot;
    c.name = name;
    c.x.assign(x.begin(), x.end());
    c.y.resize(c.x.size());
    for (Eigen::Index i = 0; i < y.size() && std::size_t(i) < c.y.size(); ++i)
        c.y[std::size_t(i)] = y[i] * unit;
    return c;
}

}  // namespace

ShownCurves shownCurves(int slot, const QString& name, const Curves& curves, UnitSystem units)
{
    const auto perSi = [units](Dimension d) { return fromSi(shownUnit(d, units), 1); };
    ShownCurves shown;
    shown.level = curveOf(slot, name, curves.frequency, curves.level, 1);
    shown.travel = curveOf(slot, name, curves.frequency, curves.coneTravel, perSi(Dimension::travel));
    shown.impedance = curveOf(slot, name, curves.frequency, curves.impedance, 1);
    shown.air.slot = slot;
    shown.air.name = name;
    if (curves.portAir.empty()) return shown;
    Eigen::ArrayXd fastest = curves.portAir.front();
    for (const Eigen::ArrayXd& port : curves.portAir)
        fastest = fastest.max(port);
    shown.air = curveOf(slot, name, curves.frequency, fastest, perSi(Dimension::airSpeed));
    return shown;
}

void addBands(ShownCurves& shown, const Curves& lower, const Curves& upper, UnitSystem units)
{
    ShownCurves low = shownCurves(0, {}, lower, units), high = shownCurves(0, {}, upper, units);
    for (const auto curve : {&ShownCurves::level, &ShownCurves::travel, &ShownCurves::air, &ShownCurves::impedance}) {
        (shown.*curve).lower = std::move((low.*curve).y);
        (shown.*curve).upper = std::move((high.*curve).y);
    }
}

}  // namespace portwright
