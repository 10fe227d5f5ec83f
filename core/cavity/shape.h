// SPDX-License-Identifier: GPL-3.0-or-later
// A cavity with a known shape, made ready for waves: slices scaled to the net volume, and where driver and ports sit.
#pragma once

#include "core/housing/housing.h"
#include "core/network/network.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// The frequency up to which segmented cavities are reckoned, and the slices per wavelength there.
inline constexpr double highestSegmented = 2000;  ///< Hz
inline constexpr double slicesPerWave = 8;        ///< cones, which carry their own waves exactly

/// Part of the section that a port's tube takes away, between two places along the axis.
struct TakenByTube {
    double from = 0, to = 0, area = 0;  ///< m, m, m2
};

/// The cavity's air along its axis, from 0 to its length, scaled so that all of it is the net volume: what was measured
/// includes what was taken out later. Lengths are kept, sections give way. Sections are never quite 0.
struct Shape {
    Profile profile;
    std::vector<TakenByTube> tubes;
    double length() const { return profile.at.back(); }
};

/// Nothing where no shape is known (or it breaks the rules of a profile). The cavity's net volume must be above 0;
/// `ports` are those of the cavity, for what their tubes take.
std::optional<Shape> shapeOf(const Cavity& cavity, const std::vector<PortOpening>& ports);

double areaAt(const Shape& shape, double at);  ///< m2, tubes left in

/// Slices between two places, tubes taken out.
std::vector<DuctSlice> slicesBetween(const Shape& shape, double from, double to);

/// Where the drivers' air enters: driverAt (default 0), moved inwards from a pointed end to where their area fits.
double driverPlace(const Cavity& cavity, const Shape& shape, double area);

/// Where a port's inner mouth is, and whether the port runs along the axis. `at` (default the far end) within one
/// radius of an end means in that end's wall, along the axis; its tube then reaches `inside`. Anywhere else it points
/// across, and its mouth is in the side wall. From a pointed end the mouth moves to where it fits.
struct PortPlace {
    double at = 0;      ///< m, of the mouth
    double inside = 0;  ///< m that the tube reaches in from its end; 0 across
    bool alongAxis = true;
    bool atFirstEnd = false;
};
PortPlace portPlace(const PortOpening& port, const Shape& shape);

/// The inner end of a port in that shape: of a flush one or a tube that reaches in as port_tuning.h has it, in a
/// section as wide as before the mouth; across: by the modes of a square duct as long as the cavity, each of `count`
/// tubes with its share.
InnerEnd innerEndOf(const PortOpening& port, const PortPlace& place, const Shape& shape);

/// Which model a housing's cavity is reckoned with, and what the simpler one would have said.
struct ModelChoice {
    CavityModel used = CavityModel::lumped;
    bool shapeKnown = false;
    std::optional<double>
        lumpedOutFrom;  ///< Hz: from here on the lumped level is out by more than 1 dB, 10 Hz to 2 kHz
    std::optional<double> tuningLumped, tuningSegmented;  ///< Hz; vented and passive, the second where a shape is known
    std::string reason;                                   ///< one or two sentences
};

}  // namespace portwright
