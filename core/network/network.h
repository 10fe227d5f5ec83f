// SPDX-License-Identifier: GPL-3.0-or-later
// A housing is a small network: nodes (acoustic pressures, electrical voltages) joined by elements.
// Impedance analogy: pressure ~ voltage, volume velocity ~ current, time factor e^{+jwt}. The outside air and the
// amplifier's return are one node, the ground. See README.md in this folder.
#pragma once

#include "core/air/air.h"
#include "core/driver/driver.h"
#include "core/network/grid.h"
#include "core/result.h"

#include <string>
#include <variant>
#include <vector>

namespace portwright {

struct Node {
    int index = -1;  ///< -1: ground
    bool operator==(const Node&) const = default;
};
inline constexpr Node ground{};

/// Cavity air: compliance C [m3/Pa] to ground, with absorption as a resistance R [Pa s/m3] in series.
struct Compliance {
    Node node;
    double C = 0, R = 0;
};

/// Lumped resistance and inertance between two nodes: a leak (M may be 0), a port or hole with a given loss.
/// Acoustic: R [Pa s/m3], M [kg/m4].
struct Inertance {
    Node from, to;
    double M = 0, R = 0;
};

/// A tube mouth to mouth, lumped, whose wall loss and radiation follow from first principles.
/// The inertance of Leff = length + ends is exact; length alone has walls. Several equal tubes side by side by `count`.
/// Viscothermal series impedance: Zwikker & Kosten 1949; Keefe, JASA 75 (1984) 58 (pages from memory).
struct Tube {
    Node from, to;
    double radius = 0;            ///< m, round; for a slot: sqrt(area/pi)
    double slotHeight = 0;        ///< m, > 0: walls of a slot of that height instead of a round bore
    double area = 0;              ///< m2, one tube
    double length = 0, ends = 0;  ///< m; ends: sum of both end corrections
    int count = 1;
    bool wallInertance =
        false;  ///< add the viscous layer's extra inertance (left out where the file asks for classical)
    double radiationFactor =
        0;  ///< R = radiationFactor * rho w^2 / (2 pi c): 1 flush mouth outside, 1/2 free, 0 inside
};

/// Passive diaphragm: acoustic mass M [kg/m4], compliance C [m3/Pa], loss R [Pa s/m3], between two nodes.
struct Diaphragm {
    Node from, to;
    double M = 0, C = 0, R = 0;
};

/// Electrical series parts between two nodes: R + j w L + 1/(j w C); C 0 means no capacitor.
struct SeriesElement {
    Node from, to;
    double R = 0, L = 0, C = 0;
};

/// The driver two-port: D = Ze Zm + Bl^2, I = (Zm V + Bl Sd dp)/D, U = Sd (Bl V - Ze Sd dp)/D, dp = p_front - p_rear.
/// I flows in at `plus` and out at `minus`; U is taken from the rear node and delivered to the front node.
struct DriverElement {
    Node plus, minus, front, rear;
    Driver driver;
};

using Element = std::variant<Compliance, Inertance, Tube, Diaphragm, SeriesElement, DriverElement>;

/// Feed voltage [V rms] at a node, held there exactly: its output impedance is a SeriesElement.
/// `shape` (and its derivative by w) multiplies the voltage at each grid frequency; empty means 1.
struct Source {
    Node node;
    double voltage = 0;
    Eigen::ArrayXcd shape, dShape;
};

struct Network {
    std::vector<std::string> nodes;  ///< names, for messages
    std::vector<Element> elements;
    std::vector<Source> sources;

    Node addNode(std::string name);
};

/// Phasors (rms) at every node over the grid, and their derivatives by w (exact, by implicit differentiation).
struct Solution {
    std::vector<Eigen::ArrayXcd> node, dNode;
};

enum class Derivatives { no, yes };

/// Solves the network. Errors name the node: one that nothing joins to ground, a shorted source, no source at all,
/// or a node without a finite answer at some frequency (which is named too).
Result<Solution> solve(const Network& network, const Grid& grid, const Air& air,
                       Derivatives derivatives = Derivatives::no);

/// Flow through an element over the grid (and its derivative if the solution has them): acoustic volume velocity [m3/s]
/// from its first node to its second (to ground for a compliance); electrical current [A].
struct Flow {
    Eigen::ArrayXcd value, derivative;
};
Flow flowThrough(const Compliance&, const Solution&, const Grid&, const Air&);
Flow flowThrough(const Inertance&, const Solution&, const Grid&, const Air&);
Flow flowThrough(const Tube&, const Solution&, const Grid&, const Air&);
Flow flowThrough(const Diaphragm&, const Solution&, const Grid&, const Air&);
Flow flowThrough(const SeriesElement&, const Solution&, const Grid&, const Air&);
/// Volume velocity of the cone, outward (from rear to front), and current into the coil at plus.
struct DriverFlows {
    Flow cone, current;
};
DriverFlows driverFlows(const DriverElement&, const Solution&, const Grid&);

/// Series impedance of a tube [Pa s/m3] at w, all `count` in parallel, and its derivative by w.
ImpedanceAt impedanceAt(const Tube& tube, double omega, const Air& air);

}  // namespace portwright
