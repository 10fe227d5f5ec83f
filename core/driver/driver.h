// SPDX-License-Identifier: GPL-3.0-or-later
// The driver as the solver needs it: the lossy linear small-signal model of Thiele and Small.
// Relations: Small, "Direct-Radiator Loudspeaker System Analysis", JAES 20 (1972) 383 (pages from memory; re-derived).
#pragma once

#include "core/air/air.h"

#include <complex>
#include <variant>

namespace portwright {

/// Voice-coil inductance models. Plain: j w Le.
struct PlainInductance {
    double Le = 0;  ///< H
    bool operator==(const PlainInductance&) const = default;
};
/// Le in series with R2 parallel L2: an extra pole pair from eddy currents.
struct TwoInductor {
    double Le = 0, L2 = 0, R2 = 0;  ///< H, H, ohm
    bool operator==(const TwoInductor&) const = default;
};
/// K (j w)^n, 0.5 <= n <= 1. Source: Leach, JAES 50 (2002) 442.
struct SemiInductance {
    double K = 0, n = 1;  ///< ohm s^n, 1
    bool operator==(const SemiInductance&) const = default;
};
using Inductance = std::variant<PlainInductance, TwoInductor, SemiInductance>;

struct Driver {
    double Re = 0;   ///< coil resistance, ohm
    double Bl = 0;   ///< force factor, N/A
    double Mms = 0;  ///< moving mass with air load, kg
    double Cms = 0;  ///< suspension compliance, m/N
    double Rms = 0;  ///< mechanical loss, kg/s
    double Sd = 0;   ///< piston area, m2
    Inductance inductance;
    bool operator==(const Driver&) const = default;
};

double fs(const Driver& d);                          ///< free-air resonance, Hz
double Qms(const Driver& d);                         ///< mechanical quality factor
double Qes(const Driver& d);                         ///< electrical quality factor
double Qts(const Driver& d);                         ///< total quality factor
double Cas(const Driver& d);                         ///< acoustic compliance of the suspension, m3/Pa
double Vas(const Driver& d, const Air& air);         ///< volume of air as springy as the suspension, m3
double efficiency(const Driver& d, const Air& air);  ///< reference efficiency eta0 into half space, 0..1

/// Level [dB re 20 uPa] at 1 m in half space for a voltage [V rms], well above resonance, inductance left out.
double sensitivity(const Driver& d, double voltage, const Air& air);

/// Impedance of the inductance [ohm] at w [rad/s], and its derivative with respect to w.
struct ImpedanceAt {
    std::complex<double> Z, dZ;
};
ImpedanceAt impedanceAt(const Inductance& inductance, double omega);

}  // namespace portwright
