// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/driver/driver.h"

#include <cmath>

namespace portwright {

namespace {

using Complex = std::complex<double>;

ImpedanceAt coilOf(const PlainInductance& m, double w) { return {{0, w * m.Le}, {0, m.Le}}; }

ImpedanceAt coilOf(const TwoInductor& m, double w)
{
    if (m.R2 <= 0 || m.L2 <= 0) return coilOf(PlainInductance{m.Le}, w);
    const Complex a(m.R2, w * m.L2);  // R2 || L2 = j w L2 R2 / a
    const Complex z = Complex(0, w * m.L2 * m.R2) / a;
    const Complex dz = Complex(0, m.L2) * m.R2 * m.R2 / (a * a);
    return {Complex(0, w * m.Le) + z, Complex(0, m.Le) + dz};
}

ImpedanceAt coilOf(const SemiInductance& m, double w)
{
    const Complex z = m.K * std::pow(w, m.n) * std::polar(1.0, m.n * pi / 2);
    return {z, z * (m.n / w)};
}

}  // namespace

double fs(const Driver& d) { return 1 / (2 * pi * std::sqrt(d.Mms * d.Cms)); }
double Qms(const Driver& d) { return std::sqrt(d.Mms / d.Cms) / d.Rms; }
double Qes(const Driver& d) { return std::sqrt(d.Mms / d.Cms) * d.Re / (d.Bl * d.Bl); }
double Qts(const Driver& d) { return Qms(d) * Qes(d) / (Qms(d) + Qes(d)); }
double Cas(const Driver& d) { return d.Cms * d.Sd * d.Sd; }
double Vas(const Driver& d, const Air& air) { return air.rho * air.c * air.c * Cas(d); }

double efficiency(const Driver& d, const Air& air)
{
    return air.rho / (2 * pi * air.c) * d.Bl * d.Bl * d.Sd * d.Sd / (d.Re * d.Mms * d.Mms);
}

double sensitivity(const Driver& d, double voltage, const Air& air)
{
    return 20 * std::log10(air.rho * d.Bl * d.Sd * voltage / (2 * pi * d.Re * d.Mms * referencePressure));
}

ImpedanceAt impedanceAt(const Inductance& inductance, double omega)
{
    return std::visit([&](const auto& model) { return coilOf(model, omega); }, inductance);
}

}  // namespace portwright
