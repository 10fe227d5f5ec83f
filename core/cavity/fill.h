// SPDX-License-Identifier: GPL-3.0-or-later
// Volume by filling: water weighed, water or a dry fill measured in a vessel.
#pragma once

#include "core/cavity/reading.h"

namespace portwright {

/// Density [kg/m3] of air-free water at t degC, 0..40, at 101 325 Pa.
/// Source: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97 (coefficients from memory, checked against 999.97 at 4, 998.2 at
/// 20 and 992.2 at 40 degC). Tap water and air solved in it change the fifth digit.
double waterDensity(double t);

/// Factor that widens the standard deviation of the mean of n readings (n >= 2) to one standard uncertainty, since the
/// spread itself is known from few: Student's t at 68.27 %. JCGM 100:2008, table G.2: 1.84, 1.32, 1.20, 1.14 for
/// n = 2, 3, 4, 5. Formula: exact for 2, else Abramowitz & Stegun 26.7.5 at z = 1, within 0.1 %.
double fewReadingsFactor(int n);

/// Mean of the readings plus the residue. Its standard uncertainty adds, in squares:
///   spread of the readings (type A); one reading alone: 2 % for water, 4 % for a dry fill instead;
///   one step of scale or vessel over sqrt(12); the residue as a rectangle from 0 to twice itself;
///   water: 1 % for the brim, the liner and trapped air; dry: packing, default 3 %;
///   water by weight: temperature within 1 K, or 10 K where it is not given, and 0.1 % for the air's buoyancy.
/// The percentages are common practice, no source. A remark names what was not given and is assumed.
/// Errors: no readings, or one that is not above 0; field "readings_g/1" or "readings_l/1".
Result<VolumeReading> readingOf(const FillMeasurement& fill, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
