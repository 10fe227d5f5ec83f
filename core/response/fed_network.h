// SPDX-License-Identifier: GPL-3.0-or-later
// A model's network at the feed in force, with what separation at the ports' ends takes there. Internal to the
// response: curves, limits and compression come from its flows.
#pragma once

#include "core/response/model.h"

namespace portwright {

/// The small-signal network, each port with separation ended in a mouth of its own. Source 0 is the feed's 1 V, source
/// 1 + j holds mouth j.
struct FedNetwork {
    Assembled assembled;
    std::vector<double> separation;    ///< r of each mouth, see separationFactor()
    std::vector<std::size_t> element;  ///< of each mouth: index in Model::elements
};
FedNetwork fedNetworkOf(const Model& model, const AssembleOptions& options = {});

/// Feed voltage times high-pass over a grid, V rms, and its size with the size's derivative by w.
struct Drive {
    Eigen::ArrayXcd factor;
    Eigen::ArrayXd size, dSize;
};
Drive driveOf(const Model& model, const Grid& grid, const AssembleOptions& options = {});

/// The network's answer to 1 V of a feed of that size: equal to solve() where nothing separates. Errors as solve().
Result<Solution> solveFed(const FedNetwork& network, const Model& model, const Grid& grid, const Drive& drive,
                          Derivatives derivatives);

/// What curves and limits are made of, phasors per volt of feed.
struct FedFlows {
    Flow outside;              ///< sum of all volume velocities that reach the outside
    DriverFlows driver;        ///< of one driver; all are alike
    Eigen::ArrayXcd terminal;  ///< V at the wired group
    struct Through {
        const HousingElement* element;
        Eigen::ArrayXcd outer, inner;  ///< inner: empty where it is the same
    };
    std::vector<Through> openings;  ///< of all that reach the outside
};
FedFlows flowsOf(const Model& model, const Assembled& assembled, const Solution& solution, const Grid& grid);

/// The model without the losses given by Q of its ports, holes and linings. They move where the load turns, by 1/(2
/// Q^2) of it and more; what is told as tuning is that of the air without them. Leaks and friction stay.
Model withoutGivenLosses(Model model);

/// rho/(Omega r), with the causes of place only when they are in: |p| = this w |outside|.
double placeFactor(const Model& model, int causes = causeCount);

/// The flows for the feed alone and for 1 Pa at each mouth alone, from which those at any loudness are superposed.
struct Superposition {
    FedNetwork network;
    BySource linear;
    std::vector<FedFlows> flows;  ///< [0] for 1 V with the mouths at 0, [1 + j] for mouth j
};
/// Without derivatives. Errors as solve().
Result<Superposition> superpositionOf(const Model& model, const Grid& grid);

/// Level [dB] at the rider for a feed of `drive` volts (after the high-pass) at each frequency.
Eigen::ArrayXd levelAt(const Model& model, const Superposition& s, const Grid& grid, const Eigen::ArrayXd& drive);

}  // namespace portwright
