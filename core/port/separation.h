// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/housing/housing.h"

namespace portwright {

/// Loss coefficient K of both ends of a port together, of the dynamic pressure of its mean velocity: dp = 1/2 rho K
/// u|u|. As given (`separation_k`); 0 for a port with a given `loss_q`, which has that loss and no other; otherwise an
/// estimate by its flares: 0.5 for each sharp end, falling to 0.2 for a quarter-round of half the bore's radius (in a
/// slot: a quarter of its height) and more. In steady flow an outflow loses its whole dynamic head and a sharp inflow
/// half of it, one of each in every half period (steady-flow handbook values, I. E. Idelchik, from memory); oscillating
/// flow through a tube loses less, by edge and Strouhal number (J. H. M. Disselhorst, L. van Wijngaarden, J. Fluid
/// Mech. 99 (1980) 293; M. C. A. M. Peters et al., J. Fluid Mech. 256 (1993) 499; from memory). Right within a factor
/// of two: measure, and give your own.
double separationOf(const PortOpening& port);

/// How well an end is flared, 0 sharp to 1: a quarter-round of half the bore's radius (slot: half its half height).
double flareShare(const PortOpening& port, const std::optional<double>& flare);

/// Whether K is an estimate by the flares, neither given nor excluded by a given loss.
bool separationIsEstimated(const PortOpening& port);

}  // namespace portwright
