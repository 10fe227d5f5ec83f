// SPDX-License-Identifier: GPL-3.0-or-later
// Fibre fill: how much larger it makes a cavity seem, and what it absorbs, from the heat and the drag between air and
// fibres. Straight fibres of one diameter, evenly spread; real fill is clumped, so its effect is rather less.
#pragma once

#include "core/air/air.h"
#include "core/result.h"

#include <complex>
#include <span>
#include <string>
#include <vector>

namespace portwright {

struct Fibre {
    std::string name;
    double diameter = 0;      ///< m
    double density = 0;       ///< of the fibre itself, kg/m3
    double heatCapacity = 0;  ///< of the fibre itself, J/(kg K)
};

/// Polyester wadding, glass wool, sheep's wool: typical values, from memory, to be replaced by the maker's.
std::span<const Fibre> usualFibres();

/// Where fibres lie, they weigh bulkDensity; they take `share` of the cavity, and the rest is free air.
struct FillMaterial {
    Fibre fibre;
    double bulkDensity = 0;  ///< kg/m3, up to a tenth of the fibre's own density
    double share = 1;        ///< 0..1
};

struct FillEffect {
    double factor = 1;                      ///< apparent over real volume, 1..gamma: the file's fill_factor
    double absorptionQ = 0;                 ///< the file's absorption_q at this frequency; infinite without fill
    double thermalQ = 0, draggedQ = 0;      ///< its two parts: 1/Q adds
    std::vector<std::string> remarks = {};  ///< whole sentences
};

/// Compressibility of air among fibres over that of free air, at w [rad/s]; 1 adiabatic, gamma isothermal.
///   beta = gamma - (gamma - 1)/a(w),  a = 1 + q/(1 + q rho cp/C),  q = sqrt(1 + j w 4 k^2/(nu L^2))/(j w k/nu)
/// nu = kappa/(rho cp), k the static thermal permeability, L = (1 - s)/s times the fibre's radius the thermal length,
/// s the fibres' share of space, C the fibres' heat capacity a volume.
/// Source of the form: Champoux & Allard, J. Appl. Phys. 70 (1991) 1975; Lafarge, Lemarinier, Allard & Tarnow, JASA 102
/// (1997) 1995 (pages from memory); the fibre's own warming added here. k from one fibre in its cell of air, whose
/// outer edge passes no heat: the same sum as Happel's flow along a cylinder, AIChE J. 5 (1959) 174 (pages from
/// memory). Compared in the tests with the heat equation solved around one fibre.
std::complex<double> fillCompressibility(const FillMaterial& fill, double omega, const Air& air);

/// Resistance to flow [Pa s/m2] of fibres in every direction: mean of Happel's drag along (once) and across (twice).
double flowResistivity(const FillMaterial& fill, const Air& air);

/// What the fill does to a cavity [m3] at a frequency [Hz]. Drag: the fill as a block of the cavity's depth, the cube
/// root of the volume, in which the flow falls to nothing; fibres that nothing holds are carried along where the drag
/// beats their mass.
/// Errors: sizes that are none; more than a tenth of the space taken by fibres; field "diameter", "bulkDensity",
/// "share" and so on.
Result<FillEffect> fillEffect(const FillMaterial& fill, double volume, double frequency, const Air& air);

}  // namespace portwright
