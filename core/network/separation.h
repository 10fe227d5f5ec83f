// SPDX-License-Identifier: GPL-3.0-or-later
// Where air leaves a port's ends in a jet, pressure is lost with the square of its speed: the one element here whose
// loss grows with loudness.
#pragma once

#include "core/network/network.h"

#include <span>

namespace portwright {

/// r [Pa s2/m6] of p = r |U| U (rms phasors), what the ends of `count` equal tubes of section `area` [m2] take from
/// their flow together: the first harmonic of dp = 1/2 rho K u|u| under a sinusoidal flow, u the mean velocity in one
/// tube, which is the resistance (4/(3 pi)) rho K u_peak/area of each tube. (Describing function: N. M. Krylov and N.
/// N. Bogoliubov, Introduction to Non-Linear Mechanics, 1943, from memory; checked against time integration.) What the
/// quadratic law adds at the third harmonic is left out, some 1 % of the speed where it counts. K >= 0.
double separationFactor(double K, double area, int count, const Air& air);

/// Pressure [Pa rms] at each mouth for 1 V of feed, with its derivative by w if the answers have theirs: that which
/// p = r |U| U sets up at a feed of `drive` [V rms] over the grid. `linear` answers to the feed, source 0, and to 1 Pa
/// at each mouth, the other sources in the order of r. `dDrive` (by w) only matters with derivatives.
/// One mouth: the one positive root of an equation that only rises. Several: Newton's method with step control on
/// equations of which each solution is the only one, since no passive network gives power back to its mouths.
std::vector<Flow> mouthPressures(const BySource& linear, std::span<const double> r, const Eigen::ArrayXd& drive,
                                 const Eigen::ArrayXd& dDrive);

/// The answer to the feed with these pressures at the mouths; they replace what `linear` holds for the feed alone.
Solution superposed(BySource linear, const std::vector<Flow>& pressures);

/// The same at one frequency, without derivatives: flow out of each mouth [m3/s rms] at `drive` volts. `own`: flow for
/// 1 V with the mouths at 0; `admittance`: what flows into the network for 1 Pa at each mouth, by rows.
Eigen::VectorXcd mouthFlows(const Eigen::VectorXcd& own, const Eigen::MatrixXcd& admittance, const Eigen::VectorXd& r,
                            double drive);

}  // namespace portwright
