// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/response/model.h"

namespace portwright {

/// All curves of one housing at the feed in force, what separation at the ends of its ports then takes included (see
/// core/network/separation.h), each over the grid. SI; level in dB re 20 uPa rms at the rider.
struct Curves {
    Eigen::ArrayXd frequency;                   ///< Hz
    Eigen::ArrayXd level;                       ///< dB; -inf where nothing is radiated (0 V)
    Eigen::ArrayXd phase;                       ///< degrees in (-180, 180], travel time left out
    Eigen::ArrayXd groupDelay;                  ///< s, exact derivative
    Eigen::ArrayXd impedance;                   ///< ohm, wired group
    Eigen::ArrayXd impedancePhase;              ///< degrees
    Eigen::ArrayXd coneTravel;                  ///< m peak
    std::vector<int> portOpening;               ///< index in Housing::openings of each row of portAir
    std::vector<Eigen::ArrayXd> portAir;        ///< m/s peak, mean over the section of one tube
    std::vector<Eigen::ArrayXd> passiveTravel;  ///< m peak, one for each passive radiator
    Eigen::ArrayXd power;                       ///< W in the coils, Re |i|^2 summed
};

/// Errors as solve().
Result<Curves> curvesOf(const Model& model, const Grid& grid);

/// What an impedance is taken of: the wired group, or the series parts and the group behind them (no cable).
enum class Load { group, withSeriesParts };

/// |Z| [ohm] alone, as it is at a small signal; quicker than all curves.
Result<Eigen::ArrayXd> impedanceOf(const Model& model, const Grid& grid, Load load = Load::group);

/// Sound pressure [Pa rms] at the rider, complex, travel time left out: rho j w U/(Omega r), U the sum of all volume
/// velocities that reach the outside, at the feed in force (lossesOnly: as at a small signal). With fewer causes: 1 m
/// in half space until those of place are in.
Result<Eigen::ArrayXcd> pressureOf(const Model& model, const Grid& grid, const AssembleOptions& options = {});

}  // namespace portwright
