// SPDX-License-Identifier: GPL-3.0-or-later
// A housing is a small network: nodes (acoustic pressures, electrical voltages) joined by elements.
// Impedance analogy: pressure ~ voltage, volume velocity ~ current, time factor e^{+jwt}. The outside air and the
// amplifier's return are one node, the ground. See README.md in this folder.
#pragma once

#include "core/air/air.h"
#include "core/driver/driver.h"
#include "core/network/grid.h"
#include "core/result.h"

#include <optional>
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

/// A piece of duct of rising or falling round section, its square root running straight from end to end.
struct DuctSlice {
    double length = 0;                   ///< m
    double firstArea = 0, lastArea = 0;  ///< m2, > 0
    double perimeter = 0;                ///< m, at mid length; 0: a circle of the mean area
};

/// A cavity as a row of slices: plane (in cones: spherical) waves along its axis. Fill and absorption are spread over
/// the length, Yp = j w S/(rho c^2) fill/(1 + j w tau), so that at low frequency it is exactly the lumped compliance
/// fill V/(rho c^2) with the resistance tau/C in series. Walls damp by the friction and heat exchange of Zwikker and
/// Kosten at the hydraulic radius 2 S/P; what their layer adds to mass and spring (some 0.2 % in a cavity, far less
/// than any volume is known to) is left out to keep that limit. Cones: Mapes-Riordan, JAES 41 (1993) 471 (pages from
/// memory; re-derived and compared with many short cylinders). Valid while only plane waves travel: below 0.586 c/(2
/// radius) in round sections.
struct Duct {
    Node from, to;
    bool closed = false;  ///< the last slice ends at a rigid wall, and `to` means nothing
    std::vector<DuctSlice> slices;
    double fill = 1;        ///< 1 adiabatic .. 1.4 isothermal
    double absorption = 0;  ///< tau, s: 1/(w0 Q)
    bool walls = true;      ///< false: without any loss but absorption
};

/// The inner end of a port: length [m] that the cavity's air adds, l0 + l2 k^2 up to k = heldFrom, constant above,
/// where the sum it stands for no longer holds.
struct InnerEnd {
    double l0 = 0, l2 = 0;  ///< m, m3
    double heldFrom = 0;    ///< 1/m; 0: l2 unused
};

enum class Radiation { none, flush, free };

/// The outer end: radiation of a flush or free round mouth of the same area by the causal form of Silva, Guillemain,
/// Kergomard, Mallaroni and Norris, JSV 322 (2009) 255 (coefficients from memory, checked against the tables of the
/// exact solutions within its stated few per cent below ka = 1.5), its inertance at low frequency set to `length`.
struct OuterEnd {
    double length = 0;  ///< m, at low frequency
    Radiation radiation = Radiation::none;
};

/// A port as a line, mouth to mouth: waves travel in it, so that its pipe resonances are there. `count` equal tubes
/// side by side, whose mouths radiate in phase: each then meets its neighbours' radiation too.
struct PortLine {
    Node from, to;          ///< inner and outer mouth
    double radius = 0;      ///< m, sqrt(area/pi)
    double slotHeight = 0;  ///< m, > 0: walls of a slot of that height
    double area = 0;        ///< m2, one tube
    double length = 0;      ///< m
    int count = 1;
    InnerEnd inner;
    OuterEnd outer;
    /// All of one tube's loss [Pa s/m3], half at each mouth: walls are then smooth and the mouth radiates no power.
    std::optional<double> givenLoss;
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

using Element = std::variant<Compliance, Inertance, Tube, Duct, PortLine, Diaphragm, SeriesElement, DriverElement>;

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

/// A flow over the grid (and its derivative if the solution has them): acoustic volume velocity [m3/s] or electrical
/// current [A].
struct Flow {
    Eigen::ArrayXcd value, derivative;
};

/// The network's answer to each of its sources alone, all others held at 0.
struct BySource {
    std::vector<Solution> alone;  ///< in the order of Network::sources
    /// into[i][k]: what flows out of the network into the node of source i while source k alone is on; into[0], that of
    /// the first source, is left empty.
    std::vector<std::vector<Flow>> into;
};
/// Errors as solve(). The sum of all answers is that of solve().
Result<BySource> solveEach(const Network& network, const Grid& grid, const Air& air,
                           Derivatives derivatives = Derivatives::no);

/// Flow through an element: from its first node to its second (to ground for a compliance).
Flow flowThrough(const Compliance&, const Solution&, const Grid&, const Air&);
Flow flowThrough(const Inertance&, const Solution&, const Grid&, const Air&);
Flow flowThrough(const Tube&, const Solution&, const Grid&, const Air&);
/// Lines: what comes out at their last end; a closed duct: what goes in.
Flow flowThrough(const Duct&, const Solution&, const Grid&, const Air&);
Flow flowThrough(const PortLine&, const Solution&, const Grid&, const Air&);
Flow flowThrough(const Diaphragm&, const Solution&, const Grid&, const Air&);
Flow flowThrough(const SeriesElement&, const Solution&, const Grid&, const Air&);
/// What goes in at the first end of a line and out at its last; the same for every other element but drivers.
struct EndFlows {
    Flow first, last;
};
EndFlows endFlows(const Element&, const Solution&, const Grid&, const Air&);
/// What flows out of a node into everything joined to it but drivers.
Flow flowFrom(Node node, const Network&, const Solution&, const Grid&, const Air&);
/// Volume velocity of the cone, outward (from rear to front), and current into the coil at plus.
struct DriverFlows {
    Flow cone, current;
};
DriverFlows driverFlows(const DriverElement&, const Solution&, const Grid&);

/// Series impedance of a tube [Pa s/m3] at w, all `count` in parallel, and its derivative by w.
ImpedanceAt impedanceAt(const Tube& tube, double omega, const Air& air);

/// p1 = A p2 + B U2, U1 = C p2 + D U2, flows running from the first end to the last; and the derivatives by w.
struct Chain {
    std::complex<double> A = 1, B = 0, C = 0, D = 1;
    std::complex<double> dA = 0, dB = 0, dC = 0, dD = 0;
};
Chain chainAt(const Duct& duct, double omega, const Air& air);
Chain chainAt(const PortLine& line, double omega, const Air& air);  ///< all `count` together

}  // namespace portwright
