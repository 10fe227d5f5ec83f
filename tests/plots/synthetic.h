// SPDX-License-Identifier: GPL-3.0-or-later
// Invented curves, shaped like those of a closed and a ported housing.
#pragma once

#include "plots/chart/curve.h"

#include <cmath>

namespace portwright::synthetic {

template <class Shape> Curve curve(int slot, Shape shape, double from = 10, double to = 2000, int points = 400)
{
    Curve c;
    c.slot = slot;
    c.name = QString(QChar(u'A' + slot)) + QStringLiteral(" housing");
    for (int i = 0; i < points; ++i) {
        const double f = from * std::pow(to / from, double(i) / (points - 1));
        c.x.push_back(f);
        c.y.push_back(shape(f));
    }
    return c;
}

inline double closedLevel(double f, double fc = 190)
{
    const double r = f / fc;
    return 110 + 20 * std::log10(r * r / std::hypot(1 - r * r, 0.85 * r));
}

inline double portedLevel(double f, double fb = 88)
{
    const double r = f / fb;
    return 110 +
           20 * std::log10(r * r * r * r / std::hypot(r * r * r * r - 2.2 * r * r + 1, 1.1 * r * (r * r - 1) + 0.12));
}

inline double closedTravel(double f) { return 2.4 / std::hypot(1 - std::pow(f / 190, 2), 0.9 * f / 190); }
inline double portedTravel(double f)
{
    return 13.5 * std::abs(1 - std::pow(f / 86, 2)) / std::hypot(1 - std::pow(f / 70, 4), f / 40);
}
inline double portAir(double f) { return 25 / std::hypot(std::pow(f / 52, 1) - 52 / f, 1.0); }
inline double load(double f)
{
    return 3.5 + 17 / std::hypot(1, 9 * (f / 43 - 43 / f)) + 12 / std::hypot(1, 9 * (f / 146 - 146 / f));
}

}  // namespace portwright::synthetic
