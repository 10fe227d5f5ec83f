// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/network/stamp.h"

#include <Eigen/LU>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

namespace portwright {

namespace {

using Complex = std::complex<double>;

// Nodal admittance matrix whose entries are whole bands. An empty entry is zero.
class Admittance {
public:
    Admittance(int nodes, Eigen::Index points) : nodes_(nodes), points_(points), entries_(std::size_t(nodes) * nodes) {}
    Eigen::ArrayXcd& operator()(int i, int k) { return entries_[std::size_t(i) * nodes_ + k]; }
    const Eigen::ArrayXcd& operator()(int i, int k) const { return entries_[std::size_t(i) * nodes_ + k]; }
    bool has(int i, int k) const { return (*this)(i, k).size() > 0; }
    template <class Expression> void add(Node i, Node k, const Expression& y)
    {
        if (i.index < 0 || k.index < 0) return;
        Eigen::ArrayXcd& entry = (*this)(i.index, k.index);
        if (entry.size() == 0)
            entry = y;
        else
            entry += y;
    }
    int nodes() const { return nodes_; }
    Eigen::Index points() const { return points_; }

private:
    int nodes_;
    Eigen::Index points_;
    std::vector<Eigen::ArrayXcd> entries_;
};

void stampBranch(Admittance& Y, Node from, Node to, const Eigen::ArrayXcd& y)
{
    Y.add(from, from, y);
    Y.add(to, to, y);
    Y.add(from, to, -y);
    Y.add(to, from, -y);
}

void stampBranch(Admittance& Y, Admittance* dY, Node from, Node to, const Band& y)
{
    stampBranch(Y, from, to, y.value);
    if (dY) stampBranch(*dY, from, to, y.derivative);
}

void stampLine(Admittance& Y, Node from, Node to, const Eigen::ArrayXcd& first, const Eigen::ArrayXcd& across,
               const Eigen::ArrayXcd& last)
{
    Y.add(from, from, first);
    if (last.size() == 0) return;  // a closed duct
    Y.add(to, to, last);
    Y.add(from, to, -across);
    Y.add(to, from, -across);
}

// Current into plus: e (Vp - Vm) + c (pf - pr); out of the rear node: c (Vp - Vm) - m (pf - pr), into the front.
void stampDriver(Admittance& Y, const DriverElement& d, const Eigen::ArrayXcd& e, const Eigen::ArrayXcd& c,
                 const Eigen::ArrayXcd& m)
{
    stampBranch(Y, d.plus, d.minus, e);
    stampBranch(Y, d.front, d.rear, m);
    Y.add(d.plus, d.front, c);
    Y.add(d.plus, d.rear, -c);
    Y.add(d.minus, d.front, -c);
    Y.add(d.minus, d.rear, c);
    Y.add(d.rear, d.plus, c);
    Y.add(d.rear, d.minus, -c);
    Y.add(d.front, d.plus, -c);
    Y.add(d.front, d.minus, c);
}

void stampAll(const Network& network, const Grid& grid, const Air& air, Admittance& Y, Admittance* dY)
{
    const Derivatives want = dY ? Derivatives::yes : Derivatives::no;
    for (const Element& element : network.elements) {
        if (const auto* d = std::get_if<DriverElement>(&element)) {
            const DriverBand y = admittanceOf(*d, grid, want);
            stampDriver(Y, *d, y.electrical.value, y.coupling.value, y.mechanical.value);
            if (dY) stampDriver(*dY, *d, y.electrical.derivative, y.coupling.derivative, y.mechanical.derivative);
            continue;
        }
        std::visit(
            [&](const auto& e) {
                if constexpr (std::is_same_v<std::decay_t<decltype(e)>, Compliance>)
                    stampBranch(Y, dY, e.node, ground, admittanceOf(e, grid, air, want));
                else if constexpr (std::is_same_v<std::decay_t<decltype(e)>, Duct> ||
                                   std::is_same_v<std::decay_t<decltype(e)>, PortLine>) {
                    const LineBand y = admittanceOf(e, grid, air, want);
                    stampLine(Y, e.from, e.to, y.first.value, y.across.value, y.last.value);
                    if (dY) stampLine(*dY, e.from, e.to, y.first.derivative, y.across.derivative, y.last.derivative);
                } else if constexpr (!std::is_same_v<std::decay_t<decltype(e)>, DriverElement>)
                    stampBranch(Y, dY, e.from, e.to, admittanceOf(e, grid, air, want));
            },
            element);
    }
}

// --- Is the network well posed? ---

struct Groups {  // union-find over the nodes; the last place is ground
    std::vector<int> parent;
    explicit Groups(int nodes) : parent(std::size_t(nodes) + 1) { std::iota(parent.begin(), parent.end(), 0); }
    int find(int i) { return parent[i] == i ? i : parent[i] = find(parent[i]); }
    int place(Node n) const { return n.index < 0 ? int(parent.size()) - 1 : n.index; }
    void join(Node a, Node b) { parent[find(place(a))] = find(place(b)); }
};

std::string nameIn(const Network& network, Node node) { return node.index < 0 ? "ground" : network.nodes[node.index]; }

Result<void> checkEnds(const Network& network, std::initializer_list<Node> ends)
{
    for (Node end : ends)
        if (end.index < -1 || end.index >= int(network.nodes.size()))
            return fail("network", fmt::format("an element names node {}, the network has {} nodes", end.index,
                                               network.nodes.size()));
    return {};
}

Result<void> checkElement(const Network& network, const Element& element, Groups& groups)
{
    if (const auto* d = std::get_if<DriverElement>(&element)) {
        if (auto ends = checkEnds(network, {d->plus, d->minus, d->front, d->rear}); !ends) return ends;
        groups.join(d->plus, d->minus);
        groups.join(d->front, d->rear);
        return {};
    }
    if (const auto* c = std::get_if<Compliance>(&element)) {
        if (auto ends = checkEnds(network, {c->node}); !ends) return ends;
        groups.join(c->node, ground);
        return {};
    }
    if (const auto* d = std::get_if<Duct>(&element)) {
        if (auto ends = checkEnds(network, {d->from, d->closed ? ground : d->to}); !ends) return ends;
        if (d->slices.empty()) return fail("network", "the duct at " + nameIn(network, d->from) + " has no slices");
        groups.join(d->from, ground);  // its own air is a spring
        if (!d->closed) groups.join(d->to, ground);
        return {};
    }
    return std::visit(
        [&](const auto& e) -> Result<void> {
            if constexpr (requires { e.from; }) {
                if (auto ends = checkEnds(network, {e.from, e.to}); !ends) return ends;
                groups.join(e.from, e.to);
            }
            if constexpr (
                requires {
                    e.M;
                    e.R;
                } && !requires { e.C; })
                if (e.M == 0 && e.R == 0)
                    return fail("network", "the element between " + nameIn(network, e.from) + " and " +
                                               nameIn(network, e.to) +
                                               " has neither resistance nor inertance; join the nodes instead");
            if constexpr (requires { e.L; })
                if (e.L == 0 && e.R == 0 && e.C == 0)
                    return fail("network", "the series part between " + nameIn(network, e.from) + " and " +
                                               nameIn(network, e.to) + " has no value; join the nodes instead");
            return {};
        },
        element);
}

Result<void> checkNetwork(const Network& network)
{
    if (network.sources.empty()) return fail("network", "the network has no source");
    Groups groups(int(network.nodes.size()));
    for (const Element& element : network.elements)
        if (auto checked = checkElement(network, element, groups); !checked) return checked;
    std::vector<bool> fed(network.nodes.size(), false);
    for (const Source& source : network.sources) {
        if (auto ends = checkEnds(network, {source.node}); !ends) return ends;
        if (source.node.index < 0) return fail("network", "a source is shorted: it feeds the ground");
        if (fed[source.node.index])
            return fail("network", "two sources feed node " + nameIn(network, source.node) + "; allowed is one");
        fed[source.node.index] = true;
        groups.join(source.node, ground);
    }
    for (int i = 0; i < int(network.nodes.size()); ++i)
        if (groups.find(i) != groups.find(groups.place(ground)))
            return fail("network", "node " + network.nodes[i] + " floats: nothing joins it to ground or to a source");
    return {};
}

// --- Elimination over whole bands ---

// 1/z in real arithmetic, which vectorises; the admittances here are far from overflow.
Eigen::ArrayXcd reciprocal(const Eigen::ArrayXcd& z) { return z.conjugate() * z.abs2().inverse(); }

// In-place LU without pivoting on the unknown nodes. A passive network needs none but where a node resonates by itself;
// there the pivot nearly vanishes, its row's growth shows it, and the frequency is solved again with full pivoting.
Eigen::Array<bool, Eigen::Dynamic, 1> factorise(Admittance& Y, const std::vector<int>& unknown)
{
    constexpr double largestGrowth = 1e3;  // loses at most three of sixteen digits
    Eigen::Array<bool, Eigen::Dynamic, 1> poor = Eigen::Array<bool, Eigen::Dynamic, 1>::Constant(Y.points(), false);
    for (std::size_t a = 0; a < unknown.size(); ++a) {
        const int k = unknown[a];
        if (!Y.has(k, k)) {
            poor.setConstant(true);
            return poor;
        }
        if (a + 1 == unknown.size()) break;
        const Eigen::ArrayXcd inverse = reciprocal(Y(k, k));
        for (std::size_t b = a + 1; b < unknown.size(); ++b) {
            const int i = unknown[b];
            if (!Y.has(i, k)) continue;
            Y(i, k) *= inverse;
            for (std::size_t c = a + 1; c < unknown.size(); ++c) {
                const int m = unknown[c];
                if (!Y.has(k, m)) continue;
                if (m == i && Y.has(i, i))
                    poor = poor || !((Y(i, k) * Y(k, i)).abs2() <= largestGrowth * largestGrowth * Y(i, i).abs2());
                Y.add({i}, {m}, -(Y(i, k) * Y(k, m)));
            }
        }
    }
    return poor;
}

void substitute(const Admittance& LU, const std::vector<int>& unknown, std::vector<Eigen::ArrayXcd>& x)
{
    for (std::size_t a = 0; a < unknown.size(); ++a)
        for (std::size_t b = 0; b < a; ++b)
            if (LU.has(unknown[a], unknown[b])) x[unknown[a]] -= LU(unknown[a], unknown[b]) * x[unknown[b]];
    for (std::size_t a = unknown.size(); a-- > 0;) {
        for (std::size_t b = a + 1; b < unknown.size(); ++b)
            if (LU.has(unknown[a], unknown[b])) x[unknown[a]] -= LU(unknown[a], unknown[b]) * x[unknown[b]];
        x[unknown[a]] *= reciprocal(LU(unknown[a], unknown[a]));
    }
}

// Right-hand side of the unknown rows: minus the known nodes' columns.
void loadKnown(const Admittance& Y, const std::vector<int>& unknown, const std::vector<int>& known,
               const std::vector<Eigen::ArrayXcd>& value, std::vector<Eigen::ArrayXcd>& rhs)
{
    for (int i : unknown)
        for (int k : known)
            if (Y.has(i, k)) rhs[i] -= Y(i, k) * value[k];
}

// One frequency afresh with full pivoting, on rows and columns scaled to unit diagonal-like size.
bool solvePivoted(const Admittance& Y, const Admittance* dY, Eigen::Index f, const std::vector<int>& unknown,
                  const std::vector<int>& known, Solution& s)
{
    const auto n = Eigen::Index(unknown.size());
    const auto at = [f](const Admittance& A, int i, int k) { return A.has(i, k) ? A(i, k)[f] : Complex(0); };
    Eigen::MatrixXcd A(n, n);
    Eigen::VectorXcd b = Eigen::VectorXcd::Zero(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        for (Eigen::Index k = 0; k < n; ++k)
            A(i, k) = at(Y, unknown[i], unknown[k]);
        for (int k : known)
            b[i] -= at(Y, unknown[i], k) * s.node[k][f];
    }
    const Eigen::VectorXd scale = A.rowwise().lpNorm<Eigen::Infinity>().cwiseMax(1e-300).cwiseInverse();
    const Eigen::FullPivLU<Eigen::MatrixXcd> lu(scale.asDiagonal() * A);
    if (!lu.isInvertible()) return false;
    const Eigen::VectorXcd x = lu.solve(scale.asDiagonal() * b);
    for (Eigen::Index i = 0; i < n; ++i)
        s.node[unknown[i]][f] = x[i];
    if (!dY) return true;
    Eigen::VectorXcd db = Eigen::VectorXcd::Zero(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        for (int k : known)
            db[i] -= at(*dY, unknown[i], k) * s.node[k][f] + at(Y, unknown[i], k) * s.dNode[k][f];
        for (int k : unknown)
            db[i] -= at(*dY, unknown[i], k) * s.node[k][f];
    }
    const Eigen::VectorXcd dx = lu.solve(scale.asDiagonal() * db);
    for (Eigen::Index i = 0; i < n; ++i)
        s.dNode[unknown[i]][f] = dx[i];
    return true;
}

Result<void> checkFinite(const Network& network, const Grid& grid, const std::vector<Eigen::ArrayXcd>& values)
{
    for (std::size_t i = 0; i < values.size(); ++i)
        if (!values[i].isFinite().all())
            for (Eigen::Index f = 0; f < grid.size(); ++f)
                if (!std::isfinite(values[i][f].real()) || !std::isfinite(values[i][f].imag()))
                    return fail("network", fmt::format("node {} has no finite answer at {:g} Hz", network.nodes[i],
                                                       grid.frequency[f]));
    return {};
}

// A network stamped and factorised, whatever its sources do.
struct Factored {
    const Network& network;
    const Grid& grid;
    const Air& air;
    Admittance Y, dY;  // rows of unknown nodes hold the factors, those of held nodes are as stamped
    std::vector<int> unknown, held;
    Eigen::Array<bool, Eigen::Dynamic, 1> poor;
    bool derive;
};

Result<Factored> factored(const Network& network, const Grid& grid, const Air& air, Derivatives derivatives)
{
    if (auto checked = checkNetwork(network); !checked) return fail(checked.error());
    const int nodes = int(network.nodes.size());
    const bool derive = derivatives == Derivatives::yes;
    Factored f{.network = network,
               .grid = grid,
               .air = air,
               .Y = Admittance(nodes, grid.size()),
               .dY = Admittance(derive ? nodes : 0, grid.size()),
               .unknown = {},
               .held = {},
               .poor = {},
               .derive = derive};
    stampAll(network, grid, air, f.Y, derive ? &f.dY : nullptr);
    for (const Source& source : network.sources)
        f.held.push_back(source.node.index);
    for (int i = 0; i < nodes; ++i)
        if (std::find(f.held.begin(), f.held.end(), i) == f.held.end()) f.unknown.push_back(i);
    f.poor = factorise(f.Y, f.unknown);
    return f;
}

// Every node at 0, the given source's as it says.
Solution silent(const Factored& f)
{
    Solution s;
    s.node.assign(f.network.nodes.size(), Eigen::ArrayXcd::Zero(f.grid.size()));
    if (f.derive) s.dNode = s.node;
    return s;
}
void feed(Solution& s, const Source& source, bool derive)
{
    Eigen::ArrayXcd& E = s.node[source.node.index];
    if (source.shape.size() > 0)
        E = source.voltage * source.shape;
    else
        E.setConstant(source.voltage);
    if (derive && source.dShape.size() > 0) s.dNode[source.node.index] = source.voltage * source.dShape;
}

// The unknown nodes of a solution whose held nodes are set; `fed` are those of them that are not 0.
Result<void> fillIn(const Factored& f, const std::vector<int>& fed, Solution& s)
{
    loadKnown(f.Y, f.unknown, fed, s.node, s.node);
    if (!f.poor.all()) substitute(f.Y, f.unknown, s.node);
    if (f.derive && !f.poor.all()) {
        loadKnown(f.dY, f.unknown, fed, s.node, s.dNode);
        loadKnown(f.Y, f.unknown, fed, s.dNode, s.dNode);
        std::vector<Eigen::ArrayXcd> change = s.dNode;
        for (int i : f.unknown)
            for (int k : f.unknown)
                if (f.dY.has(i, k)) change[i] -= f.dY(i, k) * s.node[k];
        substitute(f.Y, f.unknown, change);
        s.dNode = std::move(change);
    }
    if (f.poor.any()) {
        const int nodes = int(f.network.nodes.size());
        Admittance fresh(nodes, f.grid.size()), dFresh(f.derive ? nodes : 0, f.grid.size());
        stampAll(f.network, f.grid, f.air, fresh, f.derive ? &dFresh : nullptr);
        for (Eigen::Index i = 0; i < f.grid.size(); ++i)
            if (f.poor[i] && !solvePivoted(fresh, f.derive ? &dFresh : nullptr, i, f.unknown, f.held, s))
                return fail("network",
                            fmt::format("node {} has no single answer at {:g} Hz: it resonates without any loss",
                                        f.network.nodes[f.unknown.front()], f.grid.frequency[i]));
    }
    if (auto finite = checkFinite(f.network, f.grid, s.node); !finite) return fail(finite.error());
    if (auto finite = checkFinite(f.network, f.grid, s.dNode); !finite) return fail(finite.error());
    return {};
}

// What flows out of the network into a held node.
Flow flowInto(const Factored& f, int node, const Solution& s)
{
    Flow flow{Eigen::ArrayXcd::Zero(f.grid.size()), {}};
    if (f.derive) flow.derivative = flow.value;
    for (int k = 0; k < int(s.node.size()); ++k) {
        if (!f.Y.has(node, k)) continue;
        flow.value -= f.Y(node, k) * s.node[k];
        if (f.derive) flow.derivative -= f.dY(node, k) * s.node[k] + f.Y(node, k) * s.dNode[k];
    }
    return flow;
}

}  // namespace

Node Network::addNode(std::string name)
{
    nodes.push_back(std::move(name));
    return {int(nodes.size()) - 1};
}

Result<Solution> solve(const Network& network, const Grid& grid, const Air& air, Derivatives derivatives)
{
    const auto f = factored(network, grid, air, derivatives);
    if (!f) return fail(f.error());
    Solution s = silent(*f);
    for (const Source& source : network.sources)
        feed(s, source, f->derive);
    if (auto filled = fillIn(*f, f->held, s); !filled) return fail(filled.error());
    return s;
}

Result<BySource> solveEach(const Network& network, const Grid& grid, const Air& air, Derivatives derivatives)
{
    const auto f = factored(network, grid, air, derivatives);
    if (!f) return fail(f.error());
    BySource all;
    for (const Source& source : network.sources) {
        Solution s = silent(*f);
        feed(s, source, f->derive);
        if (auto filled = fillIn(*f, {source.node.index}, s); !filled) return fail(filled.error());
        all.alone.push_back(std::move(s));
    }
    all.into.resize(network.sources.size());
    for (std::size_t i = 1; i < network.sources.size(); ++i)
        for (const Solution& s : all.alone)
            all.into[i].push_back(flowInto(*f, network.sources[i].node.index, s));
    return all;
}

}  // namespace portwright
