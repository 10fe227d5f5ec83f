// SPDX-License-Identifier: GPL-3.0-or-later
// What a bench can find out about a cavity, as plain values, SI, as given. Each kind becomes a volume with its standard
// uncertainty (reading.h); any number of them combine.
#pragma once

#include "core/constants.h"
#include "core/housing/profile.h"

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace portwright {

using Point3 = std::array<double, 3>;  ///< m
using Point2 = std::array<double, 2>;  ///< m

/// What stood in the cavity while it was measured: the bare shell (deductions come off), or all that will be there.
enum class InPlace { nothing, everything };

enum class FillMedium { waterByWeight, waterByVolume, dry };

/// Filled to the brim and poured back, once or several times.
struct FillMeasurement {
    FillMedium medium = FillMedium::waterByVolume;
    std::vector<double> masses;               ///< kg, of water by weight
    std::vector<double> volumes;              ///< m3, of water by volume and of a dry fill
    std::optional<double> temperature;        ///< degC of the water, 0..40, default 20
    std::optional<double> massResolution;     ///< kg, one step of the scale, default 0.005
    std::optional<double> volumeResolution;   ///< m3, one step of the vessel, default 50 ml
    std::optional<double> residue;            ///< m3 left behind, default 0
    std::optional<double> packingDifference;  ///< dry: relative standard uncertainty of packing, default 0.03
    bool operator==(const FillMeasurement&) const = default;
};

enum class SectionShape { rectangle, rounded, ellipse, d, triangle, outline, area };

struct Section {
    double at = 0;  ///< m along the axis
    SectionShape shape = SectionShape::rectangle;
    double width = 0, height = 0;     ///< m, all but outline and area; d: half ellipse of that width and height
    double corner = 0;                ///< m, radius of a rounded rectangle's corners
    std::vector<Point2> points = {};  ///< outline, in order, closed by itself
    double area = 0;                  ///< m2, where only that is known
    UnknownKeys unknown = {};
    bool operator==(const Section&) const = default;
};

enum class CapShape { flat, dome, point };  ///< flat: ends there; dome: half ellipsoid; point: cone

struct EndCap {
    CapShape shape = CapShape::flat;
    double height = 0;  ///< m beyond the last section
    bool operator==(const EndCap&) const = default;
};

/// Sections along an axis. At least two, positions rising.
struct SectionsMeasurement {
    std::vector<Section> sections;
    EndCap firstCap, lastCap;
    std::optional<double> lengthUncertainty;  ///< m, of each width, height and position, default 1 mm
    bool operator==(const SectionsMeasurement&) const = default;
};

struct BoxSolid {
    double width = 0, breadth = 0, height = 0;  ///< m
    bool operator==(const BoxSolid&) const = default;
};
struct WedgeSolid {  ///< a box cut through two opposite edges: half of width x breadth x height
    double width = 0, breadth = 0, height = 0;
    bool operator==(const WedgeSolid&) const = default;
};
struct RoundFrustumSolid {
    double diameter = 0, topDiameter = 0, height = 0;  ///< m; top 0: a cone
    bool operator==(const RoundFrustumSolid&) const = default;
};
struct RectangularFrustumSolid {  ///< any two parallel, centred rectangles
    double width = 0, breadth = 0, topWidth = 0, topBreadth = 0, height = 0;
    bool operator==(const RectangularFrustumSolid&) const = default;
};
struct CylinderSolid {
    double diameter = 0, height = 0;
    bool operator==(const CylinderSolid&) const = default;
};
struct EllipsoidCapSolid {  ///< half an ellipsoid on an elliptic base
    double width = 0, breadth = 0, height = 0;
    bool operator==(const EllipsoidCapSolid&) const = default;
};
struct BentTubeSolid {
    double diameter = 0, centreLineRadius = 0, angle = 0;  ///< m, m, rad; radius at least diameter/2
    bool operator==(const BentTubeSolid&) const = default;
};
using Solid = std::variant<BoxSolid, WedgeSolid, RoundFrustumSolid, RectangularFrustumSolid, CylinderSolid,
                           EllipsoidCapSolid, BentTubeSolid>;

enum class SolidAxis { x, y, z };  ///< along which the height points

/// One line of the running list. Places matter only for pictures and modes; volumes simply add.
struct SolidStep {
    std::string name;
    bool subtract = false;
    Solid solid;
    Point3 at{0, 0, 0};             ///< m, centre of the base
    SolidAxis axis = SolidAxis::z;  ///< width and breadth follow in cyclic order
    UnknownKeys unknown = {};
    bool operator==(const SolidStep&) const = default;
};

/// Where a part sits, in the measurement's own coordinates. Matters only for modes.
enum class PlacedPart { driver, port };
struct PartPlace {
    PlacedPart part = PlacedPart::driver;  ///< the first driver, and the ports in the order of their openings
    Point3 at{0, 0, 0};                    ///< m
    UnknownKeys unknown = {};
    bool operator==(const PartPlace&) const = default;
};

struct SolidsMeasurement {
    std::vector<SolidStep> steps;
    std::optional<double> lengthUncertainty;  ///< m, of each length, default 1 mm
    std::vector<PartPlace> places = {};       ///< default: the middles of the lowest and highest side
    bool operator==(const SolidsMeasurement&) const = default;
};

/// A scanned mesh, as it was measured when read; the file itself stays where it is.
struct ScanMeasurement {
    std::string file;                    ///< as named by the user, relative to the project where it can be
    double unit = 1e-3;                  ///< m per unit of the file
    std::optional<double> wall;          ///< m: an outside scan, corrected for this wall thickness
    double volume = 0;                   ///< m3 of the closed mesh, after the wall
    double uncertainty = 0;              ///< m3
    Profile profile;                     ///< along the long axis
    std::optional<double> longest;       ///< m, longest inner dimension
    std::vector<PartPlace> places = {};  ///< default: the scan's openings, largest first
    bool operator==(const ScanMeasurement&) const = default;
};

/// The closed resonance of the housing's own driver in the cavity, all openings sealed.
struct ResonanceMeasurement {
    double fc = 0;                      ///< Hz
    std::optional<double> uncertainty;  ///< Hz, default 0.5 %
    bool operator==(const ResonanceMeasurement&) const = default;
};

struct BottleReading {
    double bottle = 0;  ///< m3, outside volume of the sealed bottle inside, 0 for none
    double fc = 0;      ///< Hz
    UnknownKeys unknown = {};
    bool operator==(const BottleReading&) const = default;
};

/// Closed resonances of one driver with sealed bottles of known size inside. At least two different bottles.
struct BottlesMeasurement {
    std::vector<BottleReading> readings;
    std::optional<double> freeResonance;      ///< Hz, of this driver in open air; default the housing's driver fs
    std::optional<double> uncertainty;        ///< Hz, of each reading, default 0.5 %
    std::optional<double> bottleUncertainty;  ///< relative, default 0.01
    bool operator==(const BottlesMeasurement&) const = default;
};

/// A volume known in any other way.
struct StatedVolume {
    double volume = 0, uncertainty = 0;  ///< m3
    bool operator==(const StatedVolume&) const = default;
};

struct Measurement {
    std::variant<FillMeasurement, SectionsMeasurement, SolidsMeasurement, ScanMeasurement, ResonanceMeasurement,
                 BottlesMeasurement, StatedVolume>
        method;
    std::optional<InPlace> inPlace;  ///< default nothing; resonances always see everything
    std::string note;
    bool unused = false;  ///< kept, but not reckoned with
    UnknownKeys unknown;
    bool operator==(const Measurement&) const = default;
};

/// What takes air from the bare shell.
enum class DeductionKind { driver, port, brace, amplifier, foam, other };
struct Deduction {
    DeductionKind kind = DeductionKind::other;
    std::string name;
    /// m3; driver and port: absent means from the datasheet or an estimate, and from the ports' outline inside.
    std::optional<double> volume;
    std::optional<double> uncertainty;  ///< m3, default 10 % (driver by datasheet 5 %, estimated 25 %)
    UnknownKeys unknown;
    bool operator==(const Deduction&) const = default;
};

}  // namespace portwright
