// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/port/port_tuning.h"

#include "core/network/boundary_layer.h"
#include "core/port/classical.h"
#include "core/quantity/quantity.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace portwright {

namespace {

constexpr double snug = 1.02;      // a mouth is taken to have at least this much room across
constexpr double leastGap = 0.02;  // radii: nearer to the wall opposite a mouth is shut
constexpr double leastLeft = 0.1;  // of the section: a tube that would fill it leaves a gap all the same
constexpr double noWall = 1e3;     // m, as good as endless

double square(double x) { return x * x; }

Mouth mouthOf(const PortOpening& port)
{
    return port.shape == PortShape::round ? roundMouth(port.diameter / 2) : slotMouth(port.width, port.height);
}

// The box with all sizes, the port's place in it, and the lines of its air.
struct Placed {
    double width, breadth, depth;  // of the section A
    double P, d, A, A1, volume;
    double x, y;       // of the group's middle
    double before;     // free in front of the mouth
    bool acrossKnown;  // the walls' places matter
    Arrangement group;
    ModeSums* known = nullptr;
};

double reach(const PortOpening& port, double depth)
{
    // A bent tube runs on across; one bore is taken to stay free before it.
    const double free = (port.bends.empty() ? leastGap : 2) * radiusOf(port);
    const double most = std::max(depth - free, 0.1 * depth);
    return std::min(insideOf(port), most);
}

double depthOf(const PortOpening& port, const CavityRoom& room, double gross)
{
    if (room.depth > 0) return room.depth;
    if (room.width > 0 && room.breadth > 0) return gross / (room.width * room.breadth);
    const double across = std::max(room.width, room.breadth);
    const double compact = across > 0 ? std::sqrt(gross / across) : std::cbrt(gross);
    return std::max(compact, (port.bends.empty() ? insideOf(port) : 0) + 2 * radiusOf(port));
}

// Width and breadth of a section A, and how much a given place is moved with them.
void setAcross(Placed& p, const PortOpening& port, const CavityRoom& room)
{
    const Outline outline = outlineOf(port);
    double scale = 1;
    if (room.width > 0 && room.breadth > 0) {
        scale = std::sqrt(p.A / (room.width * room.breadth));
        p.width = scale * room.width;
    } else if (room.width > 0)
        p.width = room.width;
    else if (room.breadth > 0)
        p.width = p.A / room.breadth;
    else if (sharedWallsOf(port) == 3)
        p.width = outline.width;
    else
        p.width = std::max(std::sqrt(p.A), snug * outline.width);
    p.breadth = p.A / p.width;
    p.group = arrangementOf(port, room.width > 0 ? room.width : p.width);  // as it is built, and whyImpossible() asks
    // What does not fit is given room: this is for what cannot be built, and must stay finite.
    const double wide = p.group.width() + outline.width, high = p.group.height() + outline.height;
    if (sharedWallsOf(port) < 3) p.width = std::max(p.width, snug * wide);
    p.breadth = std::max(p.breadth, snug * high);
    const Outline bore = boreOf(port);
    const int shared = sharedWallsOf(port);
    const double x = port.x ? *port.x * scale : shared == 2 ? bore.width / 2 : p.width / 2;
    const double y = port.y ? *port.y * scale : shared >= 1 ? bore.height / 2 : p.breadth / 2;
    const double halfX = (p.group.width() + bore.width) / 2, halfY = (p.group.height() + bore.height) / 2;
    p.x = std::clamp(x, std::min(halfX, p.width / 2), std::max(p.width - halfX, p.width / 2));
    p.y = std::clamp(y, std::min(halfY, p.breadth / 2), std::max(p.breadth - halfY, p.breadth / 2));
    p.acrossKnown = room.width > 0 || room.breadth > 0 || port.x || port.y || p.group.count > 1 || shared > 0 ||
                    port.shape == PortShape::slot;
}

Placed placed(const PortOpening& port, const CavityRoom& room)
{
    constexpr double leastVolume = 1e-9;  // m3
    Placed p{};
    p.volume = std::max(room.netVolume, leastVolume);
    const double gross = p.volume + outlineVolume(port);
    p.depth = depthOf(port, room, gross);
    p.P = reach(port, p.depth);
    p.d = p.depth - p.P;
    p.A = gross / p.depth;
    if (p.P > 0) {
        p.A1 = (p.volume - p.A * p.d) / p.P;
        if (p.A1 < leastLeft * p.A) {
            p.A = p.volume / (p.d + leastLeft * p.P);
            p.A1 = leastLeft * p.A;
        }
    }
    setAcross(p, port, room);
    p.before = port.obstacle ? std::min(*port.obstacle, p.d) : p.d;
    return p;
}

BoxPlace boxOf(const Placed& p, double depth)
{
    BoxPlace box{p.width, p.breadth, depth, p.x, p.y};
    if (p.group.count > 1) box.centres = p.group.centres();
    return box;
}

// The least free length reckoned with before a mouth.
double freeBefore(const Placed& p, double radius) { return std::max(p.before, leastGap * radius); }

InnerEnd flushEnd(const Placed& p, const Mouth& mouth)
{
    const double depth = freeBefore(p, mouth.radius);
    if (p.acrossKnown) return innerEndInBox(boxOf(p, depth), mouth, p.known);
    const double share = p.A / p.group.count;
    return innerEndInCylinder(std::max(std::sqrt(share / pi), snug * mouth.radius), depth, mouth.radius);
}

// Tube reaching in, seen with its images: walls that it shares double it and the box.
struct Images {
    Mouth mouth;
    BoxPlace box;                 // where it is
    BoxPlace centred;             // the same share of the box, mouth in its middle
    double area = 0, volume = 0;  // of one tube's share
};

Images imagesOf(const PortOpening& port, const Placed& p)
{
    const Mouth mouth = mouthOf(port);
    const int shared = sharedWallsOf(port), n = p.group.count;
    const double overY = shared >= 1 ? 2 : 1, overX = shared >= 2 ? 2 : 1;
    Images i;
    i.mouth = shared > 0 ? slotMouth(overX * mouth.width, overY * mouth.height) : mouth;
    i.box = boxOf(p, noWall);
    i.box.width *= overX, i.box.breadth *= overY;
    if (shared >= 1) i.box.y = i.box.breadth / 2;
    if (shared >= 2) i.box.x = i.box.width / 2;
    const int rows = (n + p.group.columns - 1) / p.group.columns;
    i.centred = {i.box.width / p.group.columns, i.box.breadth / rows, noWall, 0, 0};
    i.centred.x = i.centred.width / 2, i.centred.y = i.centred.breadth / 2;
    i.area = overX * overY * p.A / n, i.volume = overX * overY * p.volume / n;
    return i;
}

// Twice area over rim: of a round mouth its radius.
double rimOf(const Mouth& mouth)
{
    return mouth.width == 0 ? mouth.radius : mouth.width * mouth.height / (mouth.width + mouth.height);
}

// What stands before a mouth throttles it between its rim and the wall, by area over rim: a slot less than a round
// mouth of its area. 0.7 of that in the logarithm, fitted on slots with 0 to 2 shared walls.
double rimRadius(const Mouth& mouth)
{
    if (mouth.width == 0) return mouth.radius;
    const double square = 2 / std::sqrt(pi) * mouth.width * mouth.height / (mouth.width + mouth.height);
    return mouth.radius * std::pow(square / mouth.radius, 0.7);
}

constexpr double nearWall = 0.4;  // radii before a mouth: as near to the wall opposite as results were fitted

// Length, in radii of the bore, of the ring between a tube's end and a wall opposite that is nearer than that: flow
// turns from both sides into a ring of height g, (2/pi) ln(1/g) for two right-angled corners, and runs under the tube's
// wall t, ln(1 + t)/(2 g), g and t over the radius. How the corners come to an end in the bore's width is fitted to the
// static flow solved by finite volumes (tests/core/port/port_tuning_test.cpp): within 0.03 of the radius.
double ringLength(double gap, double wall)
{
    const double corners = 0.55 * std::exp(-2.4 * wall);
    return 2 / pi * std::log1p(corners / gap) + std::log1p(wall) / (2 * gap);
}

// Fitted to finite-element results of round tubes centred in cylinders, rms 0.05 %, worst 0.1 % of tuning for a tube
// more than half a radius inside and an opposite wall more than 0.4 radii away; shorter ones are blended into the flush
// end. Off the middle: 0.8 of what the walls do to a flush mouth there. Slots with up to two shared walls are the same
// in their own measures and images: within 0.5 % of tuning, rms 0.22 % (tests/data/slot_tuning.csv).
double reachingLength(const PortOpening& port, const Placed& p)
{
    const Images i = imagesOf(port, p);
    const double a = i.mouth.radius, e = std::min(a / std::sqrt(i.area / pi), 1 / snug);
    const double free = freeBefore(p, a), d = std::max(free, nearWall * a);
    const double flange = outerEndInWall(i.mouth) / a, T = outerEndInFront(i.mouth, a + wallOf(port)) / a;
    const bool round = i.mouth.width == 0;
    double B = 0.8216 * (1.35 * e - 0.31 * e * e * e), aside = 0;
    if (p.acrossKnown) {
        const double centred = innerEndInBox(i.centred, i.mouth, p.known).l0;
        // Of several round tubes each has its share, as if in a cylinder.
        if (!round || p.group.count == 1) B = flange - centred / a;
        const bool inMiddle = p.group.count == 1 && i.box.x == i.centred.x && i.box.y == i.centred.y;
        if (!inMiddle)
            aside = 0.8 * (asideLength(i.box, i.mouth, d, p.known) - asideLength(i.centred, i.mouth, d, p.known));
    }
    const double s = std::min(i.area * d / i.volume, 1.0);
    const double rim = rimRadius(i.mouth), wall = std::exp(-1.12 * d / rim) * square(rim) / (a * d);
    const double deep = T - B * (0.375 + 0.117 * s + 0.41 * s * e) + (0.40 - 0.62 * B) * wall;
    const double w = std::exp(-p.P / (0.12 * a));
    double ring = 0;
    if (free < d) {
        const double bore = rimOf(i.mouth), t = wallOf(port) / bore;
        ring = bore * (ringLength(free / bore, t) - ringLength(d / bore, t));
    }
    return a * (w * (flange - B) + (1 - w) * deep) + ring + aside;
}

double flareInside(const PortOpening& port, const Placed& p)
{
    const double a = radiusOf(port), e = std::min(a / std::sqrt(p.A / p.group.count / pi), 1.0);
    return flareLength(port.innerFlare.value_or(0), a) * (1 - 0.41 * e);
}

bool isShelf(const PortOpening& port, const Placed& p) { return sharedWallsOf(port) == 3 && p.P > 0; }

ShelfEnd shelfOf(const PortOpening& port, const Placed& p)
{
    const double beside = std::max(p.breadth - port.height - wallOf(port), 0.01 * p.breadth);
    return shelfEnd(port.height, beside, wallOf(port));
}

// How much a shelf that reaches in but little is still a flush mouth: what the wall behind it sends back through the
// air beside it, by its first mode there and back. Between both not checked.
double stillFlush(const PortOpening& port, const Placed& p)
{
    return std::exp(-2 * pi * p.P / std::max(p.breadth - port.height - wallOf(port), 0.01 * p.breadth));
}

InnerEnd innerEnd(const PortOpening& port, const Placed& p)
{
    InnerEnd end;
    if (isShelf(port, p)) {
        const double w = stillFlush(port, p);
        end = flushEnd(p, mouthOf(port));
        end.l0 = w * end.l0 + (1 - w) * shelfOf(port, p).slot;
        end.l2 *= w;
    } else if (p.P > 0)
        end.l0 = reachingLength(port, p);
    else
        end = flushEnd(p, mouthOf(port));
    end.l0 += flareInside(port, p);
    return end;
}

void setInnerEnd(PortInCavity& port, const PortOpening& given, const Placed& p)
{
    port.inner = innerEnd(given, p);
    if (!isShelf(given, p)) return;
    const ShelfEnd end = shelfOf(given, p);  // waves run on in the slot's end: its air is not counted twice
    const double w = 1 - stillFlush(given, p);
    port.inner.l0 -= w * end.slot;
    port.length += w * end.slot;
    port.P += w * end.beside;
    port.d = std::max(port.d - w * end.before, 0.1 * port.d);
}

double neighboursOf(const Arrangement& group, double radius)
{
    const auto centres = group.centres();
    double sum = 0;
    for (std::size_t i = 0; i < centres.size(); ++i)
        for (std::size_t j = 0; j < i; ++j) {
            const double apart = std::hypot(centres[i][0] - centres[j][0], centres[i][1] - centres[j][1]);
            sum += 2 * neighbourLength(radius, std::max(apart, 2 * radius));
        }
    return sum / double(centres.size());
}

OuterEnd outerEnd(const PortOpening& port, const Arrangement& group)
{
    const Mouth mouth = mouthOf(port);
    OuterEnd end{outerEndInWall(mouth), Radiation::flush};
    if (port.outerEnd == TubeEnd::free)
        end = {outerEndInFront(mouth, mouth.radius + wallOf(port)), Radiation::free};
    else if (port.front)
        end = {outerEndInFront(mouth, *port.front / 2), Radiation::free};
    if (group.count > 1) end.length += neighboursOf(group, mouth.radius);
    end.length += flareLength(port.outerFlare.value_or(0), mouth.radius);
    return end;
}

// Both sides of the equation at one wave number.
struct Sides {
    double port;    // reactance of all tubes over rho c, 1/m2; infinite beyond its first quarter wave
    double cavity;  // susceptance times rho c, m2
};

// What walls add to mass and spring of the air in the bore: real parts of 1/(1 - F) and 1 + (gamma - 1) F.
struct Layer {
    double mass = 1, spring = 1;
};
Layer layerOf(const PortInCavity& p, double omega)
{
    if (!p.wallLayer || !(p.air.mu > 0)) return {};
    const double nu = p.air.mu / p.air.rho, bore = p.slotHeight > 0 ? p.slotHeight : p.radius;
    const double thin = std::sqrt(2 * nu / omega) / bore;  // Re F of a thin layer: (1/rv) sqrt 2, slot alike
    constexpr double thinEnough = 0.02;                    // then right to 1e-4
    if (thin < thinEnough) return {1 + thin, 1 + (p.air.gamma - 1) * thin / std::sqrt(p.air.Pr)};
    const auto F = [&](double diffusivity) {
        return p.slotHeight > 0 ? heldShareSlot(p.slotHeight, omega, diffusivity).F
                                : heldShareRound(p.radius, omega, diffusivity).F;
    };
    return {(1.0 / (1.0 - F(nu))).real(), 1 + (p.air.gamma - 1) * F(nu / p.air.Pr).real()};
}

// Reactance of one mouth over rho c/S: the imaginary part of the radiation that PortLine has.
double mouthReactance(const OuterEnd& end, double radius, double k)
{
    if (end.radiation == Radiation::none) return k * end.length;
    const bool flush = end.radiation == Radiation::flush;
    const double n1 = flush ? 0.182 : 0.167, d1 = flush ? 1.825 : 1.393, d2 = flush ? 0.649 : 0.457;
    const double x = k * radius, p = d1 - n1, s = d1 + n1, b = 2 - d2 * x * x;
    const double own = (x * p * b + d2 * x * x * x * s) / (b * b + square(x * s));
    return own + k * (end.length - p / 2 * radius);
}

// Phase along the bore with its outer end, characteristic impedance over rho c, and the inner end's reactance.
struct PortPhase {
    double angle, z, inner;
};
PortPhase phaseOf(const PortInCavity& p, double k)
{
    const Layer layer = layerOf(p, k * p.air.c);
    const double z = std::sqrt(layer.mass / layer.spring), kp = k * std::sqrt(layer.mass * layer.spring);
    const double held = std::min(k, p.inner.heldFrom);
    return {kp * p.length + std::atan(mouthReactance(p.outer, p.radius, k) / z), z,
            k * (p.inner.l0 + p.inner.l2 * held * held)};
}

constexpr double quarter = pi / 2;

// Product of both sides over that at balance; infinite beyond the first quarter wave of port or cavity.
double balance(const PortInCavity& p, double k)
{
    constexpr double beyond = std::numeric_limits<double>::infinity();
    const PortPhase port = phaseOf(p, k);
    const double root = std::sqrt(p.fill), kc = k * root;
    if (port.angle >= quarter || kc * std::max(p.d, p.P) >= quarter) return beyond;
    const double X = (port.z * std::tan(port.angle) + port.inner) / p.S;
    const double Y = root * (p.A * std::tan(kc * p.d) + (p.P > 0 ? p.A1 * std::tan(kc * p.P) : 0));
    return std::max(X * Y, 0.0);
}

}  // namespace

CavityRoom roomOf(const Cavity& cavity)
{
    return {cavity.netVolume, cavity.width.value_or(0), cavity.breadth.value_or(0), cavity.depth.value_or(0),
            cavity.fillFactor.value_or(1)};
}

bool sizesKnown(const CavityRoom& room) { return (room.width > 0) + (room.breadth > 0) + (room.depth > 0) >= 2; }

PortInCavity portInCavity(const PortOpening& port, const CavityRoom& room, const Air& air, ModeSums* known)
{
    Placed p = placed(port, room);
    p.known = known;
    PortInCavity r;
    r.count = countOf(port);
    r.S = r.count * areaOf(port);
    r.radius = radiusOf(port);
    if (port.shape == PortShape::slot) r.slotHeight = std::min(port.width, port.height);
    r.length = straightLength(port);
    r.A = p.A, r.d = p.d, r.A1 = p.A1, r.P = p.P;
    r.width = p.width, r.breadth = p.breadth;
    r.fill = room.fill;
    r.wallLayer = !port.lossQ;
    r.air = air;
    setInnerEnd(r, port, p);
    r.outer = outerEnd(port, p.group);
    return r;
}

std::vector<PortInCavity> portsInCavity(const std::vector<PortOpening>& ports, const CavityRoom& room, const Air& air)
{
    std::vector<PortInCavity> list;
    double taken = 0, S = 0, depth = 0;
    for (const PortOpening& port : ports) {
        list.push_back(portInCavity(port, room, air));
        taken += outlineVolume(port);
        S += list.back().S;
        depth = std::max(depth, placed(port, room).depth);
    }
    if (ports.size() < 2) return list;
    for (std::size_t i = 0; i < ports.size(); ++i) {
        const double share = ports[i].x || ports[i].y ? 1 : list[i].S / S;
        CavityRoom own = room;
        own.depth = depth;
        own.netVolume = share * (room.netVolume + taken) - outlineVolume(ports[i]);
        if (share < 1) own.width = own.breadth = 0;
        list[i] = portInCavity(ports[i], own, air);
        list[i].A = (room.netVolume + taken) / depth;
    }
    return list;
}

InnerEnd innerEndOf(const PortOpening& port, double section, double depth, double inside, double volume)
{
    Placed p{};
    p.A = section, p.d = depth, p.P = inside, p.volume = volume, p.depth = depth + inside;
    setAcross(p, port, {});
    p.before = port.obstacle ? std::min(*port.obstacle, depth) : depth;
    return innerEnd(port, p);
}

OuterEnd outerEndOf(const PortOpening& port) { return outerEnd(port, arrangementOf(port, noWall)); }

double tuningOf(const PortInCavity& p)
{
    const double volume = p.fill * (p.A * p.d + p.A1 * p.P);
    const double mass = (p.length + p.outer.length + p.inner.l0) / p.S +
                        p.fill * p.fill * (p.A * p.d * p.d * p.d + p.A1 * p.P * p.P * p.P) / (3 * volume * volume);
    // Both sides are near powers of k: a secant in their logarithms, kept between what is known to lie below and above.
    double k = 1 / std::sqrt(std::max(mass, 1e-9) * volume), low = 0, high = 0, power = 2, before = 0, kBefore = 0;
    constexpr int most = 100;
    constexpr double close = 1e-10;
    for (int i = 0; i < most; ++i) {
        const double b = balance(p, k);
        (b < 1 ? low : high) = k;
        const bool usable = std::isfinite(b) && b > 0;
        if (usable && kBefore > 0 && k != kBefore)
            power = std::clamp(std::log(b / before) / std::log(k / kBefore), 1.0, 8.0);
        double next = usable ? k * std::pow(b, -1 / power) : 0;
        if (usable) before = b, kBefore = k;
        if (!(next > low) || (high > 0 && !(next < high))) next = high > 0 ? (low + high) / 2 : 2 * k;
        if (std::abs(next / k - 1) < close) return next * p.air.c / (2 * pi);
        k = next;
    }
    return k * p.air.c / (2 * pi);
}

double pipeResonanceOf(const PortInCavity& p)
{
    double low = 0, high = 20e3 * 2 * pi / p.air.c;
    const auto past = [&](double k) {
        const PortPhase port = phaseOf(p, k);
        return port.angle + std::atan(port.inner / port.z) >= pi;
    };
    for (int i = 0; i < 60; ++i) {
        const double middle = (low + high) / 2;
        (past(middle) ? high : low) = middle;
    }
    return high * p.air.c / (2 * pi);
}

double pipeResonanceOf(const PortLine& line, const Air& air)
{
    PortInCavity port;
    port.radius = line.radius, port.slotHeight = line.slotHeight, port.length = line.length;
    port.inner = line.inner, port.outer = line.outer;
    port.wallLayer = !line.givenLoss;
    port.air = air;
    return pipeResonanceOf(port);
}

TwoTunings tuningsOf(const PortOpening& port, const CavityRoom& room, const Air& air)
{
    const double Cab = room.fill * room.netVolume / (air.rho * air.c * air.c);
    return {helmholtzFrequency(Cab, portInertance(port, air)), tuningOf(portInCavity(port, room, air))};
}

double assumedShapeSpread(const PortOpening& port, const CavityRoom& room, const Air& air)
{
    if (sizesKnown(room)) return 0;
    const double assumed = tuningOf(portInCavity(port, room, air));
    const double gross = std::max(room.netVolume, 0.0) + outlineVolume(port), inside = insideOf(port);
    double most = 0;
    for (const double slender : {0.6, 1.2, 2.65}) {
        CavityRoom tried = room;
        tried.depth = std::cbrt(gross * slender * slender / pi);  // of a round section, depth/radius
        const double least = port.bends.empty() ? inside + radiusOf(port) : 0;
        if (room.depth > 0 || tried.depth < least) continue;
        most = std::max(most, std::abs(tuningOf(portInCavity(port, tried, air)) / assumed - 1));
    }
    return most;
}

std::string knownAccuracy(const PortOpening& port, const CavityRoom& room)
{
    // As far as tests/data/port_tuning.csv and slot_tuning.csv go.
    constexpr double widestFlush = 0.71, widestInside = 0.55, widestSlotInside = 0.45;  // root of area over section
    constexpr double nearestFlush = 1, nearestInside = 0.5;                             // radii before the mouth
    constexpr double widestFlare = 1.01, flattest = 8.1;
    const Placed p = placed(port, room);
    const bool slot = port.shape == PortShape::slot, inside = p.P > 0;
    const double a = radiusOf(port), share = std::sqrt(countOf(port) * areaOf(port) / p.A);
    const double widest = !inside ? widestFlush : slot ? widestSlotInside : widestInside;
    const std::string none = "no finite-element results to compare with for ";
    if (!port.bends.empty()) return none + "bends, which count by their slices";
    if (countOf(port) > 2) return none + "more than two tubes";
    if (share > widest) return none + "mouths that take so much of the cavity's section";
    if (p.before < (inside ? nearestInside : nearestFlush) * a) return none + "a mouth so near to what is before it";
    if (std::max(port.innerFlare.value_or(0), port.outerFlare.value_or(0)) > widestFlare * a)
        return none + "flares that wide";
    if (slot && std::max(port.width, port.height) > flattest * std::min(port.width, port.height))
        return none + "slots that flat";
    return "within 0.5\u00A0% of finite-element results";
}

PortOpening cutTo(PortOpening port, double length)
{
    if (port.inside) port.inside = std::max(0.0, length - std::max(0.0, port.length - *port.inside));
    port.length = length;
    return port;
}

// --- What cannot be built ---

namespace {

std::string mm(double metres) { return fmt::format("{:g}\u00A0mm", std::round(metres * 1e4) / 10); }

std::optional<std::string> whyNoBody(const PortOpening& port)
{
    const auto finite = [](double x) { return std::isfinite(x) && x >= 0; };
    const Outline bore = boreOf(port);
    if (!finite(bore.width) || !finite(bore.height) || !(bore.width * bore.height > 0))
        return "the port has no area: its bore must be above 0\u00A0mm";
    if (countOf(port) < 1) return fmt::format("{} tubes are no port: there must be at least 1", countOf(port));
    if (!finite(port.length)) return "the length is " + mm(port.length) + ": a port is 0\u00A0mm long or longer";
    for (const auto& [size, name] :
         {std::pair{port.wall, "wall"}, std::pair{port.inside, "part inside"},
          std::pair{port.innerFlare, "inner flare"}, std::pair{port.outerFlare, "outer flare"},
          std::pair{port.spacing, "spacing"}, std::pair{port.obstacle, "free way inside"}})
        if (size && !finite(*size)) return fmt::format("the {} is {}: it must be 0\u00A0mm or more", name, mm(*size));
    if (port.inside && *port.inside > port.length)
        return fmt::format("{} inside are more than the port's {}", mm(*port.inside), mm(port.length));
    const double flares = port.innerFlare.value_or(0) + port.outerFlare.value_or(0);
    if (flares > port.length * (1 + 1e-9))
        return fmt::format("the flares take {} of a port {} long: make it longer, or the flares smaller", mm(flares),
                           mm(port.length));
    if (port.shape == PortShape::round && port.sharedWalls.value_or(0) > 0)
        return "a round port shares no walls with the cavity: make it a slot, or 0 shared walls";
    return std::nullopt;
}

std::optional<std::string> whyNoBends(const PortOpening& port)
{
    const double half = (port.shape == PortShape::round ? port.diameter : port.height) / 2;
    for (const Bend& bend : port.bends)
        if (bend.angle > 0 && bend.radius < half)
            return fmt::format("a bend of {} is tighter than half the bore, {}", mm(bend.radius), mm(half));
    const double along = arcLength(port);
    if (along > port.length * (1 + 1e-9))
        return fmt::format("the bends take {} of a port {} long: make it longer, or the bends tighter", mm(along),
                           mm(port.length));
    return std::nullopt;
}

// The group of mouths in the wall that it goes through, flares with it.
std::optional<std::string> whyNotInWall(const PortOpening& port, const CavityRoom& room)
{
    const Outline outline = outlineOf(port), bore = boreOf(port);
    const int shared = sharedWallsOf(port);
    if (port.spacing && countOf(port) > 1 && *port.spacing < std::min(outline.width, outline.height) * (1 - 1e-9))
        return fmt::format("tubes {} apart stand in one another: each is {} wide", mm(*port.spacing),
                           mm(outline.width));
    const double wall = room.width > 0 ? room.width : 1e9, high = room.breadth > 0 ? room.breadth : 1e9;
    const Arrangement group = arrangementOf(port, wall);
    const double flare = std::max(port.innerFlare.value_or(0) - wallOf(port), 0.0);
    const double wide = group.width() + outline.width + (shared == 3 ? 0 : 2) * flare;
    const double tall = group.height() + outline.height + (shared > 0 ? 1 : 2) * flare;
    constexpr double slack = 1 + 1e-6;
    if (wide > wall * slack || tall > high * slack) {
        const std::string size = room.width > 0 && room.breadth > 0
                                     ? fmt::format("{:g} x {}", std::round(wall * 1e4) / 10, mm(high))
                                     : mm(std::min(wall, high));
        return fmt::format("the port takes {:g} x {} and the wall has {}: use a smaller one, or fewer tubes",
                           std::round(wide * 1e4) / 10, mm(tall), size);
    }
    if (shared == 3 && room.width > 0 && std::abs(bore.width / room.width - 1) > 0.02)
        return fmt::format("a slot that shares three walls is as wide as the cavity: it is {} and the cavity {}",
                           mm(bore.width), mm(room.width));
    const auto outside = [&](std::optional<double> at, double half, double size) {
        return at && (*at + 1e-6 < half || (size < 1e8 && *at > size - half + 1e-6));
    };
    if (outside(port.x, (group.width() + bore.width) / 2, wall) ||
        outside(port.y, (group.height() + bore.height) / 2, high))
        return std::string("the mouth reaches beyond the wall: move its centre inwards");
    if (port.front && port.outerEnd == TubeEnd::flush &&
        *port.front < std::min(bore.width, bore.height) + 2 * port.outerFlare.value_or(0))
        return fmt::format("the front of {} is smaller than the mouth", mm(*port.front));
    return std::nullopt;
}

// What no cavity of that volume holds, where sizes are not known: behind its own wall it must still be a cavity and no
// gap, and leave more air than the port takes. The wall is at least what the port takes of it, and a tenth as wide as
// long. Common practice, no source; ordinary ports are far from all three.
std::optional<std::string> whyNotInVolume(const PortOpening& port, const CavityRoom& room)
{
    constexpr double flattest = 0.25;  // depth over the side of a square as large as the wall
    constexpr double narrowest = 0.1;  // width over length of the wall
    const double taken = outlineVolume(port), gross = room.netVolume + taken;
    if (taken >= room.netVolume)
        return fmt::format("the port takes {} inside and leaves {} of air: use a smaller or a shorter one",
                           formatQuantity(taken, Dimension::volume), formatQuantity(room.netVolume, Dimension::volume));
    if (room.width > 0 && room.breadth > 0) return std::nullopt;
    const Outline outline = outlineOf(port);
    const Arrangement group = arrangementOf(port, room.width > 0 ? room.width : noWall);
    const double wide = group.width() + outline.width, tall = group.height() + outline.height;
    const double width = room.width > 0 ? room.width : std::max(wide, narrowest * tall);
    const double breadth = room.breadth > 0 ? room.breadth : std::max(tall, narrowest * wide);
    const double least = room.depth > 0 ? room.depth : flattest * std::sqrt(width * breadth);
    const double most = gross / (width * breadth);
    constexpr double slack = 1.02;  // volume and depth are measured, not exact
    if (most * slack >= least) return std::nullopt;
    return fmt::format("the port takes {:g} x {} of a wall, behind which {} would be {} deep, and {}: use a smaller "
                       "one, or fewer tubes",
                       std::round(wide * 1e4) / 10, mm(tall), formatQuantity(gross, Dimension::volume), mm(most),
                       room.depth > 0 ? "the cavity is " + mm(room.depth)
                                      : "a cavity to fit it has " + mm(least) + " at least");
}

std::optional<std::string> whyNotInside(const PortOpening& port, const CavityRoom& room)
{
    const double taken = outlineVolume(port);
    if (!(room.netVolume > 0))
        return taken > 0 ? fmt::format("no air is left in the cavity after the {} that the port itself takes",
                                       formatQuantity(taken, Dimension::volume))
                         : std::string("the cavity has no air: its volume must be above 0\u00A0L");
    const bool boxKnown = room.width > 0 && room.breadth > 0 && room.depth > 0;
    if (boxKnown) {
        const double box = room.width * room.breadth * room.depth;
        if (room.netVolume + taken > 1.02 * box)
            return fmt::format("{} of air{} do not fit a cavity of {:g} x {:g} x {}",
                               formatQuantity(room.netVolume, Dimension::volume),
                               taken > 0 ? " and the port's " + formatQuantity(taken, Dimension::volume) : "",
                               std::round(room.width * 1e4) / 10, std::round(room.breadth * 1e4) / 10, mm(room.depth));
    }
    const bool wallKnown = room.width > 0 && room.breadth > 0;
    const double depth = room.depth > 0 ? room.depth
                         : wallKnown    ? (room.netVolume + taken) / (room.width * room.breadth)
                                        : 1e9;
    if (port.bends.empty() && insideOf(port) >= depth)
        return fmt::format("{} of port inside do not fit a cavity {} deep: shorten it, bend it, or let it stick out",
                           mm(insideOf(port)), mm(depth));
    constexpr double unbounded = std::numeric_limits<double>::infinity();
    const double toWall = port.bends.empty() ? depth - insideOf(port) : unbounded;
    const double gap = std::min(toWall, port.obstacle.value_or(unbounded));
    if (gap < leastGap * radiusOf(port))
        return fmt::format("the inner mouth is {:.2g}\u00A0mm from what is before it, which shuts it: leave {} or more",
                           gap * 1e3, mm(std::ceil(leastGap * radiusOf(port) * 1e4) / 1e4));
    if (!boxKnown)
        if (auto why = whyNotInVolume(port, room)) return why;
    return std::nullopt;
}

}  // namespace

std::optional<std::string> whyImpossible(const PortOpening& port, const CavityRoom& room)
{
    if (auto why = whyNoBody(port)) return why;
    if (auto why = whyNoBends(port)) return why;
    if (auto why = whyNotInWall(port, room)) return why;
    return whyNotInside(port, room);
}

}  // namespace portwright
