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
#include <utility>
#include <vector>

namespace portwright {

struct CutPort {
    PortShape shape = PortShape::round;
    int count = 1;
    double bore = 0;                        ///< m, round
    double width = 0, height = 0;           ///< m, slot; the height lies in the cut
    double length = 0;                      ///< m
    bool second = false;                    ///< opens the second cavity
    std::optional<double> at = {};          ///< m along the profile's axis; absent: its far end
    double wall = 0, inside = 0;            ///< m: of the tube; of its length inside a cavity of known profile
    double innerFlare = 0, outerFlare = 0;  ///< m, radius of quarter-rounds within the length
    std::vector<std::pair<double, double>> bends = {};  ///< rad and m of the centre line
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
    std::optional<Profile> profile = {};  ///< shape of the main cavity, usable; scaled to what it holds
    double driverAt = 0;                  ///< m along the profile's axis
};

/// Where a part stands on the paper: its own y = 0 is the inner face of the wall, y runs into the cavity.
struct CutPlace {
    QPointF at;       ///< mm
    double turn = 0;  ///< degrees, clockwise; 0: it looks up
};

/// From a project: Sd by complete(), defaults filled in. Errors as complete().
Result<CutInput> cutInputOf(const Project& project, std::size_t housingIndex);

/// mm; x to the right, y downwards from the baffle's front at 0. Sound leaves upwards.
struct CutGeometry {
    struct DriverDrawing {
        double centre = 0;  ///< x
        double d = 0;       ///< cone diameter, mm
        CutPlace place = {};
    };
    struct Tube {
        double left = 0, width = 0, length = 0;  ///< mm; inner width, and from the wall's inner face inwards
        bool slot = false;
        std::size_t port = 0;  ///< index in CutInput::ports
        CutPlace place = {};
        double outside = 6;  ///< mm outwards from the wall's inner face
        double whole = 0;    ///< mm, length of the port
        /// Along the centre line from the outer end to the inner one, in the own directions of `place`.
        struct Station {
            QPointF at;                         ///< mm
            double turn = 0;                    ///< rad from straight in, towards the left
            double half = 0;                    ///< mm, half the inner width
            QPointF beside(double away) const;  ///< so far [mm] to the right of the way in, below 0 to the left
        };
        std::vector<Station> line = {};
        bool bent = false;
        QRectF box(double wall) const;  ///< mm, with a wall of that thickness
    };
    struct Passive {
        double centre = 0, d = 0;
        CutPlace place = {};
    };
    QPolygonF outline;  ///< inside of the main cavity, closed, rounded
    QPolygonF second;   ///< inside of the second cavity, may be empty
    QRectF hole;        ///< through the wall between them, may be null
    std::vector<DriverDrawing> drivers;
    std::vector<Tube> tubes;
    std::vector<Passive> passives;
    std::vector<QRectF> mouths;  ///< openings of the baffle, x extents
    bool leak = false;
    bool known = false;           ///< a measured shape: a body of revolution of its section areas, drawn solid
    QPolygonF halfWidths;         ///< of a measured shape: position and half width, mm; revolved they hold grossVolume
    double wall = 3, baffle = 6;  ///< mm
    double breadth = 0;           ///< mm across the cut
    double drawnArea = 0, secondArea = 0;  ///< mm2 of the polygons
    double grossVolume = 0,
           secondGrossVolume = 0;  ///< mm3 wanted: net + driver(s) + ports' own; areas x breadth equal these
    bool fits = true;  ///< false: driver or tube does not fit in the assumed outline; volume true all the same
    std::vector<double> portLengths;  ///< mm by CutInput::ports, for dimensions
    QRectF bounds;                    ///< with walls and front parts
};
CutGeometry cutGeometry(const CutInput& input);

/// Of half widths [mm] over positions [mm], straight between them: a row of frustums. mm3.
double revolvedVolume(const QPolygonF& halfWidths);

double polygonArea(const QPolygonF& polygon);  ///< shoelace, >= 0

}  // namespace portwright
