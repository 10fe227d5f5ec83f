// SPDX-License-Identifier: GPL-3.0-or-later
// Flows and currents through the elements of a solved network.
#include "core/network/stamp.h"

namespace portwright {

namespace {

Derivatives wantedBy(const Solution& s) { return s.dNode.empty() ? Derivatives::no : Derivatives::yes; }

// flow += sign * y * node (and the product rule for the derivative)
void accumulate(Flow& flow, double sign, const Band& y, Node node, const Solution& s)
{
    if (node.index < 0) return;
    flow.value += sign * y.value * s.node[node.index];
    if (!s.dNode.empty()) flow.derivative += sign * (y.derivative * s.node[node.index] + y.value * s.dNode[node.index]);
}

Flow noFlow(const Solution& s, const Grid& grid)
{
    Flow flow{Eigen::ArrayXcd::Zero(grid.size()), {}};
    if (!s.dNode.empty()) flow.derivative = Eigen::ArrayXcd::Zero(grid.size());
    return flow;
}

template <class TwoNode>
Flow branchFlow(const TwoNode& e, Node from, Node to, const Solution& s, const Grid& grid, const Air& air)
{
    const Band y = admittanceOf(e, grid, air, wantedBy(s));
    Flow flow = noFlow(s, grid);
    accumulate(flow, 1, y, from, s);
    accumulate(flow, -1, y, to, s);
    return flow;
}

}  // namespace

Flow flowThrough(const Compliance& e, const Solution& s, const Grid& g, const Air& air)
{
    return branchFlow(e, e.node, ground, s, g, air);
}
Flow flowThrough(const Inertance& e, const Solution& s, const Grid& g, const Air& air)
{
    return branchFlow(e, e.from, e.to, s, g, air);
}
Flow flowThrough(const Tube& e, const Solution& s, const Grid& g, const Air& air)
{
    return branchFlow(e, e.from, e.to, s, g, air);
}
Flow flowThrough(const Diaphragm& e, const Solution& s, const Grid& g, const Air& air)
{
    return branchFlow(e, e.from, e.to, s, g, air);
}
Flow flowThrough(const SeriesElement& e, const Solution& s, const Grid& g, const Air& air)
{
    return branchFlow(e, e.from, e.to, s, g, air);
}

DriverFlows driverFlows(const DriverElement& e, const Solution& s, const Grid& grid)
{
    const DriverBand y = admittanceOf(e, grid, wantedBy(s));
    DriverFlows flows{noFlow(s, grid), noFlow(s, grid)};
    accumulate(flows.cone, 1, y.coupling, e.plus, s);
    accumulate(flows.cone, -1, y.coupling, e.minus, s);
    accumulate(flows.cone, -1, y.mechanical, e.front, s);
    accumulate(flows.cone, 1, y.mechanical, e.rear, s);
    accumulate(flows.current, 1, y.electrical, e.plus, s);
    accumulate(flows.current, -1, y.electrical, e.minus, s);
    accumulate(flows.current, 1, y.coupling, e.front, s);
    accumulate(flows.current, -1, y.coupling, e.rear, s);
    return flows;
}

}  // namespace portwright
