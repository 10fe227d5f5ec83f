// SPDX-License-Identifier: GPL-3.0-or-later
// What walls do to the air beside them. Internal to the network.
#pragma once

#include <complex>

namespace portwright {

/// Share of the section that the wall holds back, F: 0 far from all walls, 1 where the layer fills the bore; and its
/// derivative by w. `diffusivity` [m2/s]: mu/rho for friction, mu/(rho Pr) for heat. Zwikker & Kosten 1949; Keefe,
/// JASA 75 (1984) 58 (pages from memory). F = 2 J1(z)/(z J0(z)), z = a sqrt(-j w/diffusivity); slot of height h:
/// F = tanh(y)/y, y = (h/2) sqrt(j w/diffusivity).
struct HeldShare {
    std::complex<double> F, dF;
};
HeldShare heldShareRound(double radius, double omega, double diffusivity);
HeldShare heldShareSlot(double height, double omega, double diffusivity);

}  // namespace portwright
