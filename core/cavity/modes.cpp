// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/modes.h"

#include "core/constants.h"

#include <Eigen/CholmodSupport>
#include <Eigen/SparseCore>
#include <Spectra/SymEigsShiftSolver.h>
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

using Sparse = Eigen::SparseMatrix<double>;

constexpr int mostUnknowns = 150'000;  // some 600 MB of factor
constexpr float leastShare = 1e-3f;    // thinner slivers carry nothing
constexpr double loud = 0.7;           // within 3 dB

struct Cancelled {};

// (A - shift)^-1 v, as Spectra wants it.
class ShiftedInverse {
public:
    using Scalar = double;
    ShiftedInverse(const Sparse& A, const Watch& watch) : A_(A), watch_(watch) {}

    Eigen::Index rows() const { return A_.rows(); }
    Eigen::Index cols() const { return A_.cols(); }
    void set_shift(double shift)
    {
        Sparse moved = A_;
        for (Eigen::Index i = 0; i < moved.rows(); ++i)
            moved.coeffRef(i, i) -= shift;
        factor_.compute(moved);
        if (isCancelled(watch_)) throw Cancelled{};
    }
    bool factored() const { return factor_.info() == Eigen::Success; }
    void perform_op(const double* in, double* out) const
    {
        if (isCancelled(watch_)) throw Cancelled{};
        report(watch_, 0.6 + 0.4 * std::min(1.0, ++solves_ / 60.0), "resonances");
        Eigen::Map<Eigen::VectorXd>(out, rows()) = factor_.solve(Eigen::Map<const Eigen::VectorXd>(in, rows()));
    }

private:
    const Sparse& A_;
    const Watch& watch_;
    Eigen::CholmodSupernodalLLT<Sparse> factor_;
    mutable int solves_ = 0;  // Spectra holds its operator by const operations
};

struct Face {
    std::size_t one, other;
    double open;
};

std::vector<Face> facesOf(const CutCells& cells)
{
    std::vector<Face> faces;
    const auto& size = cells.grid.size;
    for (int k = 0; k < size[2]; ++k)
        for (int j = 0; j < size[1]; ++j)
            for (int i = 0; i < size[0]; ++i) {
                const std::size_t here = cells.grid.indexOf(i, j, k);
                if (cells.share[here] < leastShare) continue;
                const std::array<std::size_t, 3> step{1, std::size_t(size[0]),
                                                      std::size_t(size[0]) * std::size_t(size[1])};
                for (std::size_t axis = 0; axis < 3; ++axis)
                    if (const float open = cells.open[axis][here]; open > 0)
                        if (cells.share[here + step[axis]] >= leastShare)
                            faces.push_back({here, here + step[axis], double(open)});
            }
    return faces;
}

std::size_t rootOf(std::vector<std::size_t>& parent, std::size_t n)
{
    while (parent[n] != n)
        n = parent[n] = parent[parent[n]];
    return n;
}

// The largest connected piece of air gets its numbers; returns its share of all.
double numberLargest(CavityModes& modes, const std::vector<Face>& faces)
{
    const std::vector<float>& share = modes.cells.share;
    std::vector<std::size_t> parent(share.size());
    for (std::size_t n = 0; n < parent.size(); ++n)
        parent[n] = n;
    for (const Face& f : faces)
        parent[rootOf(parent, f.one)] = rootOf(parent, f.other);
    std::vector<double> air(share.size(), 0.0);
    double all = 0;
    for (std::size_t n = 0; n < share.size(); ++n)
        air[rootOf(parent, n)] += double(share[n]), all += double(share[n]);
    const auto largest = std::size_t(std::max_element(air.begin(), air.end()) - air.begin());
    modes.cellOf.assign(share.size(), -1);
    int next = 0;
    for (std::size_t n = 0; n < share.size(); ++n)
        if (share[n] >= leastShare && rootOf(parent, n) == largest) modes.cellOf[n] = next++;
    modes.volume = air[largest] * std::pow(modes.cells.grid.cell, 3);
    return all > 0 ? air[largest] / all : 0;
}

// Symmetric form D^-1/2 K D^-1/2 in units of 1/cell^2: faces over shares.
Sparse matrixOf(const CavityModes& modes, const std::vector<Face>& faces, const Eigen::VectorXd& share)
{
    const Eigen::Index n = share.size();
    std::vector<Eigen::Triplet<double>> entries;
    entries.reserve(2 * faces.size() + std::size_t(n));
    Eigen::VectorXd diagonal = Eigen::VectorXd::Zero(n);
    for (const Face& f : faces) {
        const int a = modes.cellOf[f.one], b = modes.cellOf[f.other];
        if (a < 0) continue;  // then b is in no piece of ours either
        diagonal[a] += f.open / share[a];
        diagonal[b] += f.open / share[b];
        const double across = -f.open / std::sqrt(share[a] * share[b]);
        entries.emplace_back(std::max(a, b), std::min(a, b), across);
        entries.emplace_back(std::min(a, b), std::max(a, b), across);
    }
    for (Eigen::Index i = 0; i < n; ++i)
        entries.emplace_back(int(i), int(i), diagonal[i]);
    Sparse A(n, n);
    A.setFromTriplets(entries.begin(), entries.end());
    return A;
}

Eigen::VectorXd sharesOf(const CavityModes& modes)
{
    const auto n = 1 + *std::max_element(modes.cellOf.begin(), modes.cellOf.end());
    Eigen::VectorXd share(n);
    for (std::size_t i = 0; i < modes.cellOf.size(); ++i)
        if (modes.cellOf[i] >= 0) share[modes.cellOf[i]] = double(modes.cells.share[i]);
    return share;
}

Result<void> checkSize(Eigen::Index unknowns, int count)
{
    if (unknowns < 4 * count + 20)
        return fail("cell",
                    fmt::format("{} cubes are too few for {} resonances; make the cubes smaller", unknowns, count));
    if (unknowns > mostUnknowns)
        return fail("cell", fmt::format("{} cubes are too many, up to {} are allowed; make the cubes larger", unknowns,
                                        mostUnknowns));
    return {};
}

Result<void> solveInto(CavityModes& modes, const Sparse& A, const Eigen::VectorXd& share, const Air& air, int count,
                       const Watch& watch)
{
    const double h = modes.cells.grid.cell;
    // Below the lowest eigenvalue, so that the matrix is positive definite; a good deal nearer to the first than to it.
    const double shift = -std::pow(0.4 * h / std::cbrt(modes.volume), 2);
    ShiftedInverse inverse(A, watch);
    const int basis = int(std::min<Eigen::Index>(A.rows(), std::max(2 * (count + 1) + 4, 24)));
    Spectra::SymEigsShiftSolver<ShiftedInverse> solver(inverse, count + 1, basis, shift);
    if (!inverse.factored()) return fail("cells", "the resonances of this cavity could not be computed");
    solver.init();
    solver.compute(Spectra::SortRule::LargestMagn, 1000, 1e-10, Spectra::SortRule::SmallestAlge);
    if (solver.info() != Spectra::CompInfo::Successful)
        return fail("cells", "the resonances of this cavity did not settle; change the size of the cubes a little");
    const double air3 = share.sum();
    for (int m = 1; m <= count; ++m) {  // 0: even pressure
        modes.frequency.push_back(air.c / (2 * pi * h) * std::sqrt(std::max(0.0, solver.eigenvalues()[m])));
        Eigen::VectorXd p = solver.eigenvectors().col(m).array() / share.array().sqrt();
        p *= std::sqrt(air3 / (share.array() * p.array().square()).sum());
        modes.pressure.push_back(std::move(p));
    }
    return {};
}

Point3 centreOf(const VoxelGrid& grid, std::size_t cell)
{
    const std::size_t nx = std::size_t(grid.size[0]), ny = std::size_t(grid.size[1]);
    const std::array<std::size_t, 3> at{cell % nx, cell / nx % ny, cell / (nx * ny)};
    Point3 p;
    for (std::size_t i = 0; i < 3; ++i)
        p[i] = grid.origin[i] + grid.cell * (double(at[i]) + 0.5);
    return p;
}

struct Weight {
    int unknown;
    double weight;
};

struct Nearest {
    int unknown = 0;
    double distance = INFINITY;  // m, from its centre
};

Nearest nearestAir(const CavityModes& modes, const Point3& place)
{
    Nearest nearest;
    for (std::size_t n = 0; n < modes.cellOf.size(); ++n) {
        if (modes.cellOf[n] < 0) continue;
        const Point3 c = centreOf(modes.cells.grid, n);
        const double d = std::hypot(c[0] - place[0], c[1] - place[1], c[2] - place[2]);
        if (d < nearest.distance) nearest = {modes.cellOf[n], d};
    }
    return nearest;
}

// Trilinear between the centres around; those in the wall drop out, since there is no gradient across it.
std::vector<Weight> weightsAt(const CavityModes& modes, const Point3& place)
{
    const VoxelGrid& grid = modes.cells.grid;
    std::array<int, 3> low{};
    Point3 t{};
    for (std::size_t i = 0; i < 3; ++i) {
        const double x = std::clamp((place[i] - grid.origin[i]) / grid.cell - 0.5, -1.0, double(grid.size[i]));
        low[i] = int(std::floor(x));
        t[i] = x - low[i];
    }
    std::vector<Weight> weights;
    double sum = 0;
    for (int c = 0; c < 8; ++c) {
        std::array<int, 3> at{};
        double w = 1;
        bool within = true;
        for (std::size_t i = 0; i < 3; ++i) {
            const int up = c >> i & 1;
            at[i] = low[i] + up;
            w *= up ? t[i] : 1 - t[i];
            within = within && at[i] >= 0 && at[i] < grid.size[i];
        }
        if (!within || w <= 0) continue;
        if (const int unknown = modes.cellOf[grid.indexOf(at[0], at[1], at[2])]; unknown >= 0)
            weights.push_back({unknown, w}), sum += w;
    }
    if (sum < 1e-6) return {{nearestAir(modes, place).unknown, 1}};
    for (Weight& w : weights)
        w.weight /= sum;
    return weights;
}

double pressureAt(const Eigen::VectorXd& p, const std::vector<Weight>& weights)
{
    double sum = 0;
    for (const Weight& w : weights)
        sum += w.weight * p[w.unknown];
    return sum;
}

double loudest(const Eigen::VectorXd& p) { return p.cwiseAbs().maxCoeff(); }

bool atWall(const CutCells& cells, std::size_t n)
{
    if (cells.share[n] < 1) return true;
    const auto& size = cells.grid.size;
    const std::size_t nx = std::size_t(size[0]), plane = nx * std::size_t(size[1]);
    const std::size_t i = n % nx, j = n / nx % std::size_t(size[1]), k = n / plane;
    if (i == 0 || j == 0 || k == 0) return true;
    return cells.open[0][n] * cells.open[1][n] * cells.open[2][n] < 1 || cells.open[0][n - 1] < 1 ||
           cells.open[1][n - nx] < 1 || cells.open[2][n - plane] < 1;
}

std::string named(const Point3& p, UnitSystem units)
{
    return fmt::format("{}, {}, {}", formatNumber(p[0], Dimension::length, units),
                       formatNumber(p[1], Dimension::length, units), formatQuantity(p[2], Dimension::length, units));
}

std::string warningText(const PlaceWarning& w, UnitSystem units)
{
    std::string text =
        fmt::format("The resonance at {} has {:.0f}\u00A0% of its greatest pressure at the place of {}",
                    formatQuantity(w.frequency, Dimension::frequency, units), 100 * std::abs(w.coupling), w.place);
    if (!w.quiet) return text + ".";
    return text + fmt::format("; quietest is the wall at {} (x, y, z).", named(*w.quiet, units));
}

}  // namespace

Result<CavityModes> modesOf(const CutCells& cells, const Air& air, int count, const Watch& watch)
{
    if (count < 1 || count > 40)
        return fail("count", fmt::format("{} resonances are asked for; allowed are 1 to 40", count));
    CavityModes modes;
    modes.cells = cells;
    const std::vector<Face> faces = facesOf(cells);
    const double largest = cells.share.empty() ? 0 : numberLargest(modes, faces);
    if (largest == 0) return fail("cells", "there is no air in this cavity");
    const Eigen::VectorXd share = sharesOf(modes);
    if (auto fits = checkSize(share.size(), count); !fits) return fail(fits.error());
    if (largest < 0.99)
        modes.remarks.push_back(
            fmt::format("The air is in several pieces; the largest, {:.0f}\u00A0% of all, is used.", 100 * largest));
    if (isCancelled(watch)) return cancelledWork();
    report(watch, 0.1, "matrix");
    const Sparse A = matrixOf(modes, faces, share);
    report(watch, 0.2, "factor");
    try {
        if (auto solved = solveInto(modes, A, share, air, count, watch); !solved) return fail(solved.error());
    } catch (const Cancelled&) {
        return cancelledWork();
    } catch (const std::exception&) {  // out of memory, or Spectra's own complaints
        return fail("cells", "the resonances of this cavity could not be computed; make the cubes larger");
    }
    report(watch, 1, "resonances");
    return modes;
}

double couplingAt(const CavityModes& modes, std::size_t mode, const Point3& place)
{
    const Eigen::VectorXd& p = modes.pressure[mode];
    return pressureAt(p, weightsAt(modes, place)) / loudest(p);
}

double distanceFromAir(const CavityModes& modes, const Point3& place)
{
    const double cell = modes.cells.grid.cell;
    const double distance = nearestAir(modes, place).distance;
    return distance <= 1.5 * cell ? 0 : distance - cell / 2;  // at a wall a place may lie up to an edge outside
}

std::vector<float> pressureOnGrid(const CavityModes& modes, std::size_t mode)
{
    const Eigen::VectorXd& p = modes.pressure[mode];
    const double scale = 1 / loudest(p);
    std::vector<float> field(modes.cellOf.size(), 0.0f);
    for (std::size_t n = 0; n < field.size(); ++n)
        if (modes.cellOf[n] >= 0) field[n] = float(scale * p[modes.cellOf[n]]);
    return field;
}

Eigen::ArrayXcd transfer(const CavityModes& modes, const Point3& from, const Point3& to, const Grid& grid, double Q,
                         const Air& air)
{
    using namespace std::complex_literals;
    const auto source = weightsAt(modes, from), listener = weightsAt(modes, to);
    const Eigen::ArrayXd w2 = grid.omega.square();
    Eigen::ArrayXcd sum = -1.0 / w2.cast<std::complex<double>>();  // the air spring
    for (std::size_t m = 0; m < modes.frequency.size(); ++m) {
        const double wm = 2 * pi * modes.frequency[m];
        const double both = pressureAt(modes.pressure[m], source) * pressureAt(modes.pressure[m], listener);
        sum += both / ((wm * wm - w2).cast<std::complex<double>>() + 1i * (wm / Q) * grid.omega);
    }
    return 1i * (air.rho * air.c * air.c / modes.volume) * grid.omega * sum;
}

std::optional<Point3> quietestWall(const CavityModes& modes, double upTo)
{
    std::vector<double> strongest(modes.cellOf.size(), 0.0);
    bool any = false;
    for (std::size_t m = 0; m < modes.frequency.size() && modes.frequency[m] <= upTo; ++m) {
        const std::vector<float> field = pressureOnGrid(modes, m);
        for (std::size_t n = 0; n < field.size(); ++n)
            strongest[n] = std::max(strongest[n], double(std::abs(field[n])));
        any = true;
    }
    if (!any) return std::nullopt;
    std::optional<std::size_t> best;
    for (std::size_t n = 0; n < strongest.size(); ++n)
        if (modes.cellOf[n] >= 0 && atWall(modes.cells, n) && (!best || strongest[n] < strongest[*best])) best = n;
    return best ? std::optional(centreOf(modes.cells.grid, *best)) : std::nullopt;
}

std::vector<PlaceWarning> placeWarnings(const CavityModes& modes, const std::vector<NamedPlace>& places, double upTo,
                                        UnitSystem units)
{
    const std::optional<Point3> quiet = quietestWall(modes, upTo);
    std::vector<PlaceWarning> warnings;
    for (const NamedPlace& place : places)
        for (std::size_t m = 0; m < modes.frequency.size() && modes.frequency[m] <= upTo; ++m) {
            const double coupling = couplingAt(modes, m, place.at);
            if (std::abs(coupling) < loud) continue;
            PlaceWarning warning{place.name, m, modes.frequency[m], coupling, quiet, {}};
            warning.text = warningText(warning, units);
            warnings.push_back(std::move(warning));
        }
    std::stable_sort(warnings.begin(), warnings.end(), [](const PlaceWarning& a, const PlaceWarning& b) {
        return std::abs(a.coupling) > std::abs(b.coupling);
    });
    return warnings;
}

}  // namespace portwright
