// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cut/cut_geometry.h"

#include "core/cavity/net_volume.h"
#include "plots/cut/cut_parts.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <utility>

namespace portwright {
namespace {

constexpr double cornerRadius = 26;  // mm
constexpr double behindDriver = 12;  // mm
constexpr double tubeWall = 3;       // mm
constexpr double deepest = 1.6;      // depth by width, before the cavity grows in breadth instead
constexpr double longestLid = 3.0;   // width of a lid by that of its front

/// What must fit, in mm.
struct Needs {
    double width = 0;       ///< of the front
    double depth = 0;       ///< driver or tube, whichever is deeper
    double rightWidth = 0;  ///< tubes on the right: not to be cut away
    double driversLeft = 0, driversRight = 0, driverDepth = 0, magnet = 0;
    bool anyBent = false;  ///< a tube runs on behind the driver
};

/// Corner points to a polygon with round corners; `sharp` points from the start keep their corner.
QPolygonF rounded(const QPolygonF& corners, double radius, int sharp)
{
    QPolygonF out;
    const qsizetype n = corners.size();
    for (qsizetype i = 0; i < n; ++i) {
        const QPointF at = corners[i], a = corners[(i + n - 1) % n] - at, b = corners[(i + 1) % n] - at;
        const double la = std::hypot(a.x(), a.y()), lb = std::hypot(b.x(), b.y());
        const double turn = std::acos(std::clamp(QPointF::dotProduct(a, b) / std::max(la * lb, 1e-12), -1.0, 1.0));
        const double reach = std::min({radius / std::tan(turn / 2), la * 0.45, lb * 0.45});
        if (i < sharp || la < 1e-9 || lb < 1e-9 || reach < 1e-6) {
            out.append(at);
            continue;
        }
        const QPointF from = at + a * (reach / la), to = at + b * (reach / lb);
        for (int k = 0; k <= 10; ++k) {  // quadratic curve: touches both edges, never leaves the corner
            const double t = k / 10.0;
            out.append(from * (1 - t) * (1 - t) + at * 2 * t * (1 - t) + to * t * t);
        }
    }
    return out;
}

/// `straight`: the right side stays upright, because tubes or a second cavity stand there.
QPolygonF cutBox(double W, double H, double left, double right, double slant)
{
    const double side = H * (1 - slant) + 0.12 * H * slant;
    const double l = left * slant, r = right * slant;
    QPolygonF corners{{0, 0}, {W, 0}};
    if (r > 0.5)
        corners << QPointF(W, side) << QPointF(W - r, H);
    else
        corners << QPointF(W, H);
    if (l > 0.5)
        corners << QPointF(l, H) << QPointF(0, side);
    else
        corners << QPointF(0, H);
    return rounded(corners, cornerRadius, 2);
}

/// Bowl: half a superellipse, exponent by side (2: ellipse, large: box).
QPolygonF bowl(double W, double H, double exponentLeft, double exponentRight)
{
    QPolygonF out{{0, 0}, {W, 0}};
    constexpr int steps = 48;
    for (int i = 1; i < steps; ++i) {
        const double angle = std::numbers::pi * i / steps, c = std::cos(angle), s = std::sin(angle);
        const double n = c >= 0 ? exponentRight : exponentLeft;
        const double x = std::copysign(std::pow(std::abs(c), 2 / n), c), y = std::pow(s, 2 / n);
        out.append(QPointF(W / 2 * (1 + x), H * y));
    }
    return out;
}

/// Root of a rising function on lower..upper by bisection, to the last bits.
double solved(const std::function<double(double)>& rising, double wanted, double lower, double upper)
{
    for (int i = 0; i < 200 && upper - lower > 1e-15 * upper; ++i) {
        const double middle = (lower + upper) / 2;
        (rising(middle) < wanted ? lower : upper) = middle;
    }
    return (lower + upper) / 2;
}

using Shape = std::function<QPolygonF(double W, double H, double slant)>;  // slant 0: all there is .. 1: cut most

Shape shapeOf(OutlineFamily family, const Needs& needs, bool straight)
{
    const double left =
        std::max(0.0, needs.driversLeft + (needs.driversRight - needs.driversLeft - needs.magnet) / 2 - 8);
    switch (family) {
    case OutlineFamily::fairing:
        return [straight](double W, double H, double slant) {
            const double n = 7 - 5.7 * slant;
            return bowl(W, H, n, straight ? 7 : n);
        };
    case OutlineFamily::lid:
        return [straight](double W, double H, double slant) {
            return cutBox(W, H, 0.3 * W, straight ? 0 : 0.3 * W, slant);
        };
    case OutlineFamily::lower:
        break;
    }
    return [=](double W, double H, double slant) {
        if (straight) return cutBox(W, H, std::max(0.0, W - needs.rightWidth), 0, slant);
        return cutBox(W, H, left, left, slant);
    };
}

/// The outline of exactly this area.
QPolygonF outlineOfArea(OutlineFamily family, const Needs& needs, bool straight, double area)
{
    const Shape shape = shapeOf(family, needs, straight);
    double W = needs.width;
    const double H = needs.depth;
    const auto areaAt = [&](double width, double depth, double slant) {
        return polygonArea(shape(width, depth, slant));
    };
    if (areaAt(W, H, 0) < area && family == OutlineFamily::lid) {  // a lid grows sideways first
        const auto byWidth = [&](double width) { return areaAt(width, H, 0); };
        if (byWidth(longestLid * W) >= area) return shape(solved(byWidth, area, W, longestLid * W), H, 0);
        W *= longestLid;
    }
    if (const double whole = areaAt(W, H, 0); whole < area) {
        const auto byDepth = [&](double depth) { return areaAt(W, depth, 0); };
        return shape(W, solved(byDepth, area, H, 2 * H * area / whole + 4 * cornerRadius), 0);
    }
    if (areaAt(W, H, 1) <= area) {
        const auto bySlant = [&](double back) { return areaAt(W, H, 1 - back); };
        return shape(W, H, 1 - solved(bySlant, area, 0, 1));
    }
    const auto byDepth = [&](double depth) { return areaAt(W, depth, 1); };
    return shape(W, solved(byDepth, area, 0, H), 1);  // the parts may not fit: partsFit() tells
}

double tubeInner(const CutPort& port) { return 1e3 * (port.shape == PortShape::round ? port.bore : port.height); }

int tubesDrawn(const CutPort& port) { return std::clamp(port.count, 1, mostTubes); }

/// Outer volume of all tubes of a port inside the cavity, mm3.
double portVolume(const CutPort& port)
{
    const double across = tubeInner(port) + 2 * tubeWall;
    const double section = port.shape == PortShape::round ? std::numbers::pi / 4 * across * across
                                                          : across * (1e3 * port.width + 2 * tubeWall);
    return std::max(port.count, 1) * section * 1e3 * port.length;
}

/// Puts tubes and passives of one cavity from x on, to the right; returns the next free x.
double placeOpenings(const CutInput& input, bool second, double x, CutGeometry& out, Needs& needs)
{
    for (std::size_t i = 0; i < input.ports.size(); ++i) {
        const CutPort& port = input.ports[i];
        if (port.second != second) continue;
        for (int k = 0; k < tubesDrawn(port); ++k) {
            const double length = 1e3 * port.length, flare = 1e3 * std::max(port.innerFlare, port.outerFlare);
            CutGeometry::Tube tube{
                x + tubeWall + flare, tubeInner(port), length, port.shape == PortShape::slot, i, {}, 6, length};
            layTube(tube, port, needs.driverDepth + behindDriver + tubeWall + tubeInner(port) / 2);
            const double deep = tube.bent ? tube.box(tubeWall).bottom() + besideTube : length + tubeInner(port);
            needs.depth = std::max(needs.depth, deep);
            needs.anyBent = needs.anyBent || tube.bent;
            out.tubes.push_back(std::move(tube));
            x += tubeInner(port) + 2 * (tubeWall + flare) + besideTube;
        }
    }
    for (const CutPassive& passive : input.passives) {
        if (passive.second != second) continue;
        const double d = coneDiameter(passive.Sd);
        out.passives.push_back({x + frameOf * d / 2, d});
        x += frameOf * d + besideTube;
        needs.depth = std::max(needs.depth, 0.3 * d);
    }
    return x;
}

/// Where a level line leaves an outline at the right.
double rightAt(const QPolygonF& outline, double y)
{
    double right = outline.boundingRect().center().x();
    for (qsizetype i = 0; i < outline.size(); ++i) {
        const QPointF a = outline[i], b = outline[(i + 1) % outline.size()];
        if ((a.y() < y) != (b.y() < y))
            right = std::max(right, a.x() + (b.x() - a.x()) * (y - a.y()) / (b.y() - a.y()));
    }
    return right;
}

/// Magnets and inner tube ends lie inside the air that is drawn (a pixel's breadth of grace).
bool partsFit(const CutGeometry& cut)
{
    const auto inside = [&](double x, double y) {
        return cut.outline.containsPoint(QPointF(x, y), Qt::OddEvenFill) ||
               cut.second.containsPoint(QPointF(x, y), Qt::OddEvenFill);
    };
    for (const auto& driver : cut.drivers)
        for (const double side : {-0.5, 0.5})
            if (!inside(driver.centre + side * magnetWide * driver.d, depthOf * driver.d - 0.5)) return false;
    for (const auto& tube : cut.tubes)
        for (const auto& station : tube.line)
            for (const double side : {-1.0, 1.0})
                if (const QPointF at = station.beside(side * (station.half - 0.5));
                    at.y() > 1 && !inside(at.x(), at.y() - 0.5))
                    return false;
    return true;
}

void findBounds(CutGeometry& out, double driverDepth)
{
    QRectF all = out.outline.boundingRect();
    if (!out.second.isEmpty()) all = all.united(out.second.boundingRect());
    for (const auto& driver : out.drivers)
        all = all.united(QRectF(driver.centre - frameOf * driver.d / 2, 0, frameOf * driver.d, driverDepth));
    for (const auto& tube : out.tubes)
        all = all.united(tube.box(tubeWall));
    out.bounds = all.adjusted(-out.wall, -out.baffle - 3, out.wall, out.wall);
}

}  // namespace

double coneDiameter(double Sd) { return 2e3 * std::sqrt(Sd / std::numbers::pi); }

double drawnDriverVolume(double d)
{
    const double quarter = std::numbers::pi / 4;
    return quarter * (magnetWide * d) * (magnetWide * d) * magnetHigh * d + 0.45 * quarter * d * d * coneDeep * d;
}

void placeSecond(const CutInput& input, CutGeometry& out)
{
    const double right = out.outline.boundingRect().right();
    const double gap = std::clamp(1e3 * input.holeDepth, 2 * out.wall, 40.0);
    Needs needs;
    const double from = right + gap;
    const double end = placeOpenings(input, true, from + besideTube, out, needs);
    out.secondGrossVolume = 1e9 * *input.secondVolume;
    for (const CutPort& port : input.ports)
        out.secondGrossVolume += port.second ? portVolume(port) : 0;
    const double area = out.secondGrossVolume / out.breadth;
    needs.width = std::max(end - from, std::sqrt(area / 1.2));
    needs.depth = std::max(needs.depth, 1.0);
    const Shape box = [](double W, double H, double) { return cutBox(W, H, 0, 0, 0); };
    const auto byDepth = [&](double depth) { return polygonArea(box(needs.width, depth, 0)); };
    const double depth = solved(byDepth, area, 0, 2 * area / needs.width + 4 * cornerRadius);
    out.second = box(needs.width, depth, 0).translated(from, 0);
    const double shallower = std::min(depth, out.outline.boundingRect().height());
    const double hole = std::min(1e3 * input.holeDiameter, 0.8 * shallower);
    const double middle = 0.5 * shallower;
    if (hole <= 0) return;
    const double wallAt = out.known ? rightAt(out.outline, middle) : right;
    out.hole = QRectF(wallAt, middle - hole / 2, from - wallAt, hole);
}

double polygonArea(const QPolygonF& polygon)
{
    double twice = 0;
    for (qsizetype i = 0; i < polygon.size(); ++i) {
        const QPointF a = polygon[i], b = polygon[(i + 1) % polygon.size()];
        twice += a.x() * b.y() - b.x() * a.y();
    }
    return std::abs(twice) / 2;
}

CutGeometry cutGeometry(const CutInput& input)
{
    if (input.profile && isUsable(*input.profile) && input.netVolume > 0) return profiledCut(input);
    CutGeometry out;
    out.leak = input.leak;
    for (const CutPort& port : input.ports)
        out.portLengths.push_back(1e3 * port.length);
    const double d = std::max(coneDiameter(input.Sd), 1.0), frame = frameOf * d, driverDepth = depthOf * d;
    const int count = std::max(input.drivers, 1), rows = count > 3 ? 2 : 1, columns = (count + rows - 1) / rows;

    Needs needs;
    needs.driversLeft = besideDriver;
    for (int i = 0; i < columns; ++i)
        out.drivers.push_back({besideDriver + frame / 2 + i * (frame + besideDriver), d});
    needs.driversRight = out.drivers.back().centre + frame / 2;
    needs.driverDepth = driverDepth;
    needs.magnet = magnetWide * d + (columns - 1) * (frame + besideDriver);
    needs.depth = driverDepth + behindDriver;
    const double end = placeOpenings(input, false, needs.driversRight + besideDriver, out, needs);
    const bool opened = end > needs.driversRight + besideDriver;
    needs.width = opened ? end : needs.driversRight + besideDriver;
    needs.rightWidth = needs.anyBent ? needs.width : needs.width - needs.driversRight;

    out.grossVolume = 1e9 * input.netVolume;
    const double each = input.driverDisplacement > 0 ? 1e9 * input.driverDisplacement : drawnDriverVolume(d);
    out.grossVolume += count * each;
    for (const CutPort& port : input.ports)
        out.grossVolume += port.second ? 0 : portVolume(port);

    out.breadth = rows * frame;
    const double widest = input.outline == OutlineFamily::lid ? longestLid * needs.width : needs.width;
    const double deep = std::max(deepest * needs.width, needs.depth);
    if (out.grossVolume / out.breadth > widest * deep)  // a large cavity grows in every direction, not into a shaft
        out.breadth = std::min(out.grossVolume / (widest * deep), 2.5 * needs.width);
    if (const double area = out.grossVolume / out.breadth; area > widest * deep)
        needs.width *= std::sqrt(area / (widest * deep));
    const bool straight = opened || input.secondVolume.has_value();
    const QPolygonF main = outlineOfArea(input.outline, needs, straight, out.grossVolume / out.breadth);
    out.outline = main;
    if (input.secondVolume) placeSecond(input, out);

    for (const auto& driver : out.drivers)
        out.mouths.push_back(QRectF(driver.centre - d / 2, -out.baffle, d, out.baffle));
    for (const auto& tube : out.tubes)
        out.mouths.push_back(QRectF(tube.left, -out.baffle, tube.width, out.baffle));  // its flare is drawn with it
    for (const auto& passive : out.passives)
        out.mouths.push_back(QRectF(passive.centre - passive.d / 2, -out.baffle, passive.d, out.baffle));
    out.fits = partsFit(out);
    out.drawnArea = polygonArea(out.outline);
    out.secondArea = polygonArea(out.second);
    findBounds(out, driverDepth);
    return out;
}

namespace {

/// The housing with the volumes reckoned with: one from measurements is filled in. As given where that cannot be done.
Housing withVolumes(const Project& project, const Housing& given)
{
    if (given.cavity.netVolume > 0 && (!given.secondCavity || given.secondCavity->cavity.netVolume > 0)) return given;
    const DriverSheet* sheet = findDriver(project, given.driver);
    const auto driver = sheet ? complete(*sheet) : Result<CompleteDriver>(fail({}, {}));
    const auto air = airAt(project.air.value_or(AirConditions{}));
    if (!air) return given;
    return resolvedHousing(given, driver.value_or(CompleteDriver{}), *air).value_or(given);
}

CutPort cutPortOf(const PortOpening& port, bool second)
{
    CutPort drawn{port.shape,
                  countOf(port),
                  port.diameter,
                  port.width,
                  port.height,
                  port.length,
                  second,
                  port.at,
                  port.wall.value_or(0),
                  port.inside.value_or(port.innerEnd == TubeEnd::free ? port.length : 0)};
    if (port.classical) return drawn;  // the textbook knows neither flares nor bends
    drawn.innerFlare = port.innerFlare.value_or(0);
    drawn.outerFlare = port.outerFlare.value_or(0);
    for (const Bend& bend : port.bends)
        drawn.bends.emplace_back(bend.angle, bend.radius);
    return drawn;
}

}  // namespace

Result<CutInput> cutInputOf(const Project& project, std::size_t housingIndex)
{
    if (housingIndex >= project.housings.size()) return fail("/housings", "there is no such housing");
    const Housing housing = withVolumes(project, project.housings[housingIndex]);
    const DriverSheet* sheet = findDriver(project, housing.driver);
    if (!sheet)
        return fail("/housings/" + std::to_string(housingIndex) + "/driver",
                    "there is no driver \"" + housing.driver + "\"");
    CutInput input;
    if (sheet->Sd)
        input.Sd = *sheet->Sd;  // a cut needs no more of the driver, so it is drawn before the driver is complete
    else if (const Result<CompleteDriver> driver = complete(*sheet))
        input.Sd = driver->driver.Sd;
    else
        return fail(driver.error());
    input.drivers = housing.driverCount.value_or(1);
    input.driverDisplacement = sheet->displacement.value_or(0);
    input.netVolume = housing.cavity.netVolume;
    input.outline = housing.cavity.outline.value_or(OutlineFamily::lower);
    input.profile = profileOf(housing.cavity);
    input.driverAt = housing.cavity.driverAt.value_or(0);
    if (housing.secondCavity) {
        input.secondVolume = housing.secondCavity->cavity.netVolume;
        input.holeDiameter = housing.secondCavity->hole.diameter;
        input.holeDepth = housing.secondCavity->hole.depth;
    }
    for (const Opening& opening : housing.openings) {
        const bool second = opening.cavity == CavityId::second && housing.secondCavity;
        if (const auto* port = std::get_if<PortOpening>(&opening.kind))
            input.ports.push_back(cutPortOf(*port, second));
        else if (const auto* passive = std::get_if<PassiveRadiator>(&opening.kind))
            input.passives.push_back({passive->Sd, second});
        else
            input.leak = true;
    }
    return input;
}

}  // namespace portwright
