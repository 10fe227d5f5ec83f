// SPDX-License-Identifier: GPL-3.0-or-later
// The cut through cavity, driver and port, in millimetres, from numbers alone. Pure functions.
#pragma once

#include "core/document/project.h"
#include "core/result.h"

#include <QPointF>
#include <QPolygonF>
#include <QRectF>

#include <cstddef>
#include <optional>
#include <vector>

namespace portwright {

struct CutPort {
    PortShape shape = PortShape::round;
    int count = 1;
    double bore = 0;               ///< m, round
    double width = 0, height = 0;  ///< m, slot; the height lies in the cut
    double length = 0;             ///< m
    bool second = false;           ///< opens the second cavity
};

struct CutPassive {
    double Sd = 0;  ///< m2
    bool second = false;
};

/// What a cut is drawn from, SI.
struct CutInput {
    double Sd = 0;  ///< m2, one driver
    int drivers = 1;
    double driverDisplacement = 0;            ///< m3 each; 0: reckoned from the drawn driver
    double netVolume = 0;                     ///< m3
    std::optional<double> secondVolume = {};  ///< m3
    double holeDiameter = 0, holeDepth = 0;   ///< m, between the cavities
    std::vector<CutPort> ports = {};
    std::vector<CutPassive> passives = {};
    bool leak = false;
    OutlineFamily outline = OutlineFamily::lower;
    bool outlineKnown = false;  ///< solid rather than dashed
};

/// From a project: Sd by complete(), defaults filled in. Errors as complete().
Result<CutInput> cutInputOf(const Project& project, std::size_t housingIndex);

/// mm; x to the right, y downwards from the baffle's front at 0. Sound leaves upwards.
struct CutGeometry {
    struct DriverDrawing {
        double centre = 0;  ///< x
        double d = 0;       ///< cone diameter, mm
    };
    struct Tube {
        double left = 0, width = 0, length = 0;  ///< mm; inner width
        bool slot = false;
        std::size_t port = 0;  ///< index in CutInput::ports
    };
    struct Passive {
        double centre = 0, d = 0;
    };
    QPolygonF outline;  ///< inside of the main cavity, closed, rounded
    QPolygonF second;   ///< inside of the second cavity, may be empty
    QRectF hole;        ///< through the wall between them, may be null
    std::vector<DriverDrawing> drivers;
    std::vector<Tube> tubes;
    std::vector<Passive> passives;
    std::vector<QRectF> mouths;  ///< openings of the baffle, x extents
    bool leak = false, known = false;
    double wall = 3, baffle = 6;           ///< mm
    double breadth = 0;                    ///< mm across the cut
    double drawnArea = 0, secondArea = 0;  ///< mm2 of the polygons
    double grossVolume = 0,
           secondGrossVolume = 0;  ///< mm3 wanted: net + driver(s) + ports' own; areas x breadth equal these
    bool fits = true;  ///< false: driver or tube does not fit in the drawn outline; volume true all the same
    std::vector<double> portLengths;  ///< mm by CutInput::ports, for dimensions
    QRectF bounds;                    ///< with walls and front parts
};
CutGeometry cutGeometry(const CutInput& input);

double polygonArea(const QPolygonF& polygon);  ///< shoelace, >= 0

}  // namespace portwright
