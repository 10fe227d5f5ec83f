// SPDX-License-Identifier: GPL-3.0-or-later
// Resonances of the air in a closed cavity, where its walls are rigid: laplace(p) + k^2 p = 0, no gradient at the wall.
// One pressure a cube, flow through each face in proportion to its open share, mass in proportion to each cube's air
// (finite volumes; Ng, Min & Gibou, J. Comput. Phys. 228 (2009) 8807, pages from memory, for the same faces with a
// Neumann wall). Lowest pairs by shift and invert: Lanczos of Spectra over CHOLMOD's supernodal factor.
#pragma once

#include "core/air/air.h"
#include "core/cavity/cells.h"
#include "core/network/grid.h"
#include "core/quantity/quantity.h"
#include "core/result.h"
#include "core/work.h"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace portwright {

struct CavityModes {
    CutCells cells;
    std::vector<int> cellOf;                ///< place in `pressure` of each cube, -1: not part of it
    std::vector<double> frequency;          ///< Hz, rising; the even pressure at 0 Hz is left out
    std::vector<Eigen::VectorXd> pressure;  ///< mean square over the air is 1
    double volume = 0;                      ///< m3, of the air that is connected
    std::vector<std::string> remarks;       ///< whole sentences
};

/// The first `count` (1..40) resonances. Of air in several pieces the largest is taken, and told. Frequencies are
/// within 1 % of the formulae of rooms, cylinders and spheres (see tests) as long as a wavelength spans ten cubes. 30
/// 000 cubes take one to two seconds, most of it in one factorisation that cannot be stopped; a cancel is seen before,
/// after, and between the solves. Errors: cancelled; no air; fewer cubes than 4 count + 20; more than 150 000 cubes of
/// air.
Result<CavityModes> modesOf(const CutCells& cells, const Air& air, int count, const Watch& watch = {});

/// How strongly a mode is met at a place [m], -1..1: the pressure there over the greatest in the cavity. A place
/// outside the air counts as the nearest cube of it. Which sign is which is arbitrary.
double couplingAt(const CavityModes& modes, std::size_t mode, const Point3& place);

/// How far a place [m] is from the air, m: 0 within a cube's edge of it.
double distanceFromAir(const CavityModes& modes, const Point3& place);

/// Of each cube of the grid, -1..1, 0 outside: for pictures.
std::vector<float> pressureOnGrid(const CavityModes& modes, std::size_t mode);

/// Pressure at one place for a volume velocity at another [Pa s/m3], over the grid: the sum over the modes computed,
/// the air spring among them, each with quality Q. Trust it up to the highest mode computed; near a source the sum of
/// few modes leaves part of the near field out.
Eigen::ArrayXcd transfer(const CavityModes& modes, const Point3& from, const Point3& to, const Grid& grid, double Q,
                         const Air& air);

/// A driver or port where a resonance is loud: within 3 dB of its loudest.
struct PlaceWarning {
    std::string place;  ///< "driver", "port 2": as named
    std::size_t mode = 0;
    double frequency = 0;         ///< Hz
    double coupling = 0;          ///< -1..1
    std::optional<Point3> quiet;  ///< m, the place at a wall where all modes up to the limit together are weakest
    std::string text;             ///< one sentence
};

struct NamedPlace {
    std::string name;  ///< "driver", "port 1"
    Point3 at{0, 0, 0};
};

/// Where none of the places should be, for all modes up to a frequency [Hz]; the loudest first.
std::vector<PlaceWarning> placeWarnings(const CavityModes& modes, const std::vector<NamedPlace>& places, double upTo,
                                        UnitSystem units = UnitSystem::metric);

/// The cube at a wall [m, its centre] where the strongest coupling of all modes up to a frequency is weakest; nothing
/// where no mode lies below.
std::optional<Point3> quietestWall(const CavityModes& modes, double upTo);

}  // namespace portwright
