// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/fill_material.h"

#include "core/constants.h"

#include <array>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

using namespace std::complex_literals;

constexpr double mostSolid = 0.1;  // fibres' share of space up to which Happel's cells are used here

double solidShare(const FillMaterial& fill) { return fill.bulkDensity / fill.fibre.density; }

// Heat capacity a volume of air, rho cp = gamma p/((gamma - 1) T) = rho c^2/((gamma - 1) T).
double airHeatCapacity(const Air& air)
{
    return air.rho * air.c * air.c / ((air.gamma - 1) * (air.temperature + 273.15));
}

// Happel's permeabilities of parallel cylinders of radius r, m2.
double alongCylinders(double r, double s) { return r * r / (4 * s) * (-std::log(s) - 1.5 + 2 * s - s * s / 2); }
double acrossCylinders(double r, double s) { return r * r / (8 * s) * (-std::log(s) + (s * s - 1) / (s * s + 1)); }

struct Bound {
    const char *field, *name, *unit;
    double value, scale, low, high;  // shown = value * scale
};

Result<void> checked(const FillMaterial& fill)
{
    const std::array bounds{
        Bound{"diameter", "the fibres' diameter", "\u00B5m", fill.fibre.diameter, 1e6, 1, 500},
        Bound{"density", "the fibres' own density", "kg/m\u00B3", fill.fibre.density, 1, 100, 10000},
        Bound{"heatCapacity", "the fibres' heat capacity", "J/(kg\u00A0K)", fill.fibre.heatCapacity, 1, 100, 5000},
        Bound{"bulkDensity", "the fill's density", "kg/m\u00B3", fill.bulkDensity, 1, 0, 1000},
        Bound{"share", "the share of the cavity", "%", fill.share, 100, 0, 100}};
    for (const Bound& b : bounds)
        if (const double shown = b.value * b.scale; !(shown >= b.low * (1 - 1e-9) && shown <= b.high * (1 + 1e-9)))
            return fail(b.field, fmt::format("{} is {:.4g}\u00A0{}; allowed is {:g} to {:g}", b.name, shown, b.unit,
                                             b.low, b.high));
    if (solidShare(fill) > mostSolid)
        return fail("bulkDensity",
                    fmt::format("fibres would take {:.0f}\u00A0% of the space; up to {:.0f}\u00A0% is allowed, "
                                "{:.4g}\u00A0kg/m\u00B3 of this fibre",
                                100 * solidShare(fill), 100 * mostSolid, mostSolid * fill.fibre.density));
    return {};
}

}  // namespace

std::span<const Fibre> usualFibres()
{
    static const std::array fibres{Fibre{"polyester wadding", 25e-6, 1380, 1300}, Fibre{"glass wool", 7e-6, 2500, 800},
                                   Fibre{"sheep's wool", 30e-6, 1310, 1400}};
    return fibres;
}

std::complex<double> fillCompressibility(const FillMaterial& fill, double omega, const Air& air)
{
    const double s = solidShare(fill), r = fill.fibre.diameter / 2;
    if (s == 0) return 1;
    const double rhoCp = airHeatCapacity(air), nu = air.kappa / rhoCp;
    const double k = alongCylinders(r, s), L = r * (1 - s) / s;
    const double C = fill.bulkDensity * fill.fibre.heatCapacity;
    const std::complex<double> jw = 1i * omega;
    const std::complex<double> q = std::sqrt(1.0 + jw * (4 * k * k / (nu * L * L))) / (jw * k / nu);
    const std::complex<double> a = 1.0 + q / (1.0 + q * (rhoCp / C));
    return air.gamma - (air.gamma - 1) / a;
}

double flowResistivity(const FillMaterial& fill, const Air& air)
{
    const double s = solidShare(fill), r = fill.fibre.diameter / 2;
    if (s == 0) return 0;
    return air.mu * (1 / alongCylinders(r, s) + 2 / acrossCylinders(r, s)) / 3;
}

Result<FillEffect> fillEffect(const FillMaterial& fill, double volume, double frequency, const Air& air)
{
    if (auto fits = checked(fill); !fits) return fail(fits.error());
    if (!(volume > 0 && std::isfinite(volume))) return fail("volume", "the cavity's volume must be above 0");
    if (!(frequency > 0 && std::isfinite(frequency))) return fail("frequency", "the frequency must be above 0\u00A0Hz");
    const double omega = 2 * pi * frequency, s = solidShare(fill);
    // Fibres take their own space; in the air left among them heat is exchanged.
    const std::complex<double> beta = 1 - fill.share + fill.share * (1 - s) * fillCompressibility(fill, omega, air);
    FillEffect effect;
    effect.factor = std::max(1.0, beta.real());
    const double depth = std::cbrt(volume);
    const double sigma = flowResistivity(fill, air), mass = omega * fill.bulkDensity;
    // Drag of fibres that float: sigma in series with their mass, real part; the flow falls evenly to the far wall.
    const double drag = sigma > 0 ? sigma / (1 + std::pow(sigma / mass, 2)) * fill.share * depth / 3 : 0;
    const double spring = air.rho * air.c * air.c / (omega * depth);  // |p/u| of the cavity's depth
    const double fromHeat = -beta.imag() / beta.real(), fromDrag = drag / spring;
    effect.thermalQ = 1 / fromHeat, effect.draggedQ = 1 / fromDrag;
    effect.absorptionQ = 1 / (fromHeat + fromDrag);
    if (fill.share > 0.9 && effect.factor > 1.25)
        effect.remarks.push_back("Evenly filled to the walls the sum gives more than practice finds, 10 to 25\u00A0% "
                                 "(common practice, no source): fill is clumped and leaves gaps.");
    if (s > 0.03)
        effect.remarks.push_back("So much fibre is packed rather than filled: it takes space itself, and the port and "
                                 "the cone no longer breathe freely.");
    return effect;
}

}  // namespace portwright
