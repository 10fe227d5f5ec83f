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

template <class Line>
EndFlows lineFlows(const Line& e, bool closed, const Solution& s, const Grid& grid, const Air& air)
{
    const LineBand y = admittanceOf(e, grid, air, wantedBy(s));
    EndFlows flows{noFlow(s, grid), noFlow(s, grid)};
    accumulate(flows.first, 1, y.first, e.from, s);
    if (closed) return flows;
    accumulate(flows.first, -1, y.across, e.to, s);
    accumulate(flows.last, 1, y.across, e.from, s);
    accumulate(flows.last, -1, y.last, e.to, s);
    return flows;
}

EndFlows twice(Flow flow)
{
    Flow same = flow;
    return {std::move(flow), std::move(same)};
}

}  // namespace

EndFlows endFlows(const Element& element, const Solution& s, const Grid& g, const Air& air)
{
    return std::visit(
        [&](const auto& e) -> EndFlows {
            using Kind = std::decay_t<decltype(e)>;
            if constexpr (std::is_same_v<Kind, Duct>)
                return lineFlows(e, e.closed, s, g, air);
            else if constexpr (std::is_same_v<Kind, PortLine>)
                return lineFlows(e, false, s, g, air);
            else if constexpr (std::is_same_v<Kind, DriverElement>)
                return {};
            else
                return twice(flowThrough(e, s, g, air));
        },
        element);
}

Flow flowThrough(const Duct& e, const Solution& s, const Grid& g, const Air& air)
{
    EndFlows flows = lineFlows(e, e.closed, s, g, air);
    return e.closed ? std::move(flows.first) : std::move(flows.last);
}
Flow flowThrough(const PortLine& e, const Solution& s, const Grid& g, const Air& air)
{
    return lineFlows(e, false, s, g, air).last;
}
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

Flow flowFrom(Node node, const Network& network, const Solution& s, const Grid& grid, const Air& air)
{
    Flow sum = noFlow(s, grid);
    const auto add = [&](double sign, const Flow& flow) {
        sum.value += sign * flow.value;
        if (sum.derivative.size() > 0) sum.derivative += sign * flow.derivative;
    };
    for (const Element& element : network.elements)
        std::visit(
            [&](const auto& e) {
                if constexpr (requires { e.from; }) {
                    if (e.from != node && e.to != node) return;
                    const EndFlows flow = endFlows(element, s, grid, air);
                    if (e.from == node) add(1, flow.first);
                    if (e.to == node) add(-1, flow.last);
                } else if constexpr (requires { e.node; }) {
                    if (e.node == node) add(1, flowThrough(e, s, grid, air));
                }
            },
            element);
    return sum;
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
