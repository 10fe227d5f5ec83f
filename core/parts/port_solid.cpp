// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/port_solid.h"

#include "core/mesh/flat_face.h"
#include "core/mesh/mesh_formats.h"
#include "core/parts/shop_length.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <optional>

namespace portwright {
namespace {

constexpr double grid = 1e-7;            // m
constexpr double shortestEdge = 30e-6;   // m: much shorter ones would lose their direction in single precision
constexpr double thinnestForLip = 2e-3;  // m, common practice, no source: two nozzle widths on each side
constexpr int mostPieces = 50;
constexpr double never = std::numeric_limits<double>::infinity();  // m: the height of what cannot stand so

double snapped(double x) { return std::round(x / grid) * grid; }

/// Steps of an arc so that chords leave it by no more than the tolerance.
int stepsOf(double radius, double angle, double chord)
{
    if (radius <= chord) return 1;
    return std::max(1, int(std::ceil(angle / (2 * std::acos(1 - chord / radius)))));
}

/// Regular polygon of the circle's own area.
std::vector<Point2> circlePolygon(const Point2& centre, double radius, int sides)
{
    const double step = 2 * pi / sides, even = radius * std::sqrt(step / std::sin(step));
    std::vector<Point2> ring;
    ring.reserve(std::size_t(sides));
    for (int i = 0; i < sides; ++i)
        ring.push_back(
            {snapped(centre[0] + even * std::cos(step * i)), snapped(centre[1] + even * std::sin(step * i))});
    return ring;
}

int roundSides(double radius, double chord)
{
    return std::max(24, 4 * int(std::ceil(stepsOf(radius, 2 * pi, chord) / 4.0)));
}

/// Corners of small offsets have fewer steps, their points laid together.
std::vector<Point2> roundedPolygon(double halfWidth, double halfHeight, double offset, int stepsEach)
{
    const int apart = std::clamp(int(offset * (pi / 2) / shortestEdge), 1, stepsEach);
    std::vector<Point2> ring;
    for (int corner = 0; corner < 4; ++corner) {
        const double x = corner == 0 || corner == 3 ? halfWidth : -halfWidth;
        const double y = corner < 2 ? halfHeight : -halfHeight;
        for (int i = 0; i <= stepsEach; ++i) {
            const double turn = (corner + std::round(double(i) * apart / stepsEach) / apart) * pi / 2;
            ring.push_back({snapped(x + offset * std::cos(turn)), snapped(y + offset * std::sin(turn))});
        }
    }
    return ring;
}

struct ProfilePoint {
    double offset, z;  // m
};

/// Without points that nearly fall on another, such as a flare's last step on the back of the flange; the ends stay.
std::vector<ProfilePoint> spaced(const std::vector<ProfilePoint>& profile)
{
    const auto close = [](const ProfilePoint& a, const ProfilePoint& b) {
        return std::hypot(a.offset - b.offset, a.z - b.z) < shortestEdge;
    };
    std::vector<ProfilePoint> kept;
    for (const ProfilePoint& p : profile)
        if (kept.empty() || !close(kept.back(), p)) kept.push_back(p);
    while (kept.size() > 1 && close(kept.back(), profile.back()))
        kept.pop_back();
    kept.push_back(profile.back());
    return kept;
}

/// A body whose sections are outlines, as loose triangles.
class SolidMaker {
public:
    SolidMaker(const PortBody& body, double chord)
        : body_(body), chord_(chord), widest_(std::max({body.rim, body.outerFlare, body.innerFlare, body.wall}))
    {
    }

    std::vector<Point2> ring(double offset) const { return outlinePolygon(body_, offset, widest_, chord_); }

    /// What follows is of the tube there.
    void standAt(double x) { x_ = x; }

    /// Sides along a profile in its order; where it runs up, they face the axis.
    void addSides(const std::vector<ProfilePoint>& whole)
    {
        const std::vector<ProfilePoint> profile = spaced(whole);
        for (std::size_t i = 0; i + 1 < profile.size(); ++i) {
            ProfilePoint before = profile[i];
            for (const double z : stations(before.z, profile[i + 1].z)) {
                addBand(ring(before.offset), before.z, ring(before.offset), z);
                before.z = z;
            }
            addBand(ring(before.offset), before.z, ring(profile[i + 1].offset), profile[i + 1].z);
        }
    }
    void addRim()
    {
        standAt(0);
        addBand(rimRing(), body_.flange, rimRing(), 0);
    }
    /// A flat face of the flange from the outlines of its tubes to the rim, with its screw holes.
    Result<void> addFlangeFace(double inner, double z, bool facesUp)
    {
        standAt(0);
        std::vector<std::vector<Point2>> loops{rimRing()};
        for (int tube = 0; tube < body_.tubes; ++tube) {
            loops.push_back(ring(inner));
            for (Point2& p : loops.back())
                p[0] += body_.tubeAt(tube);
        }
        for (const Point2& screw : body_.screws)
            loops.push_back(screwRing(screw));
        const auto face = flatFace(loops);
        if (!face) return fail(face.error());
        std::vector<Point2> points;
        for (const auto& loop : loops)
            points.insert(points.end(), loop.begin(), loop.end());
        for (Triangle t : *face) {
            if (!facesUp) std::swap(t[1], t[2]);
            add(points[t[0]], z, points[t[1]], z, points[t[2]], z);
        }
        return {};
    }
    void addScrewHoles()
    {
        standAt(0);
        for (const Point2& screw : body_.screws)
            addBand(screwRing(screw), 0, screwRing(screw), body_.flange);
    }
    const Mesh& mesh() const { return mesh_; }

private:
    /// Where bends are broken into chords between two places; the outline is plain there.
    std::vector<double> stations(double from, double to) const
    {
        const double half = body_.wall + (body_.shape == PortShape::round ? body_.radius : body_.halfHeight);
        std::vector<double> places;
        for (const BodyBend& bend : body_.bends) {
            const int most = std::max(1, int((bend.radius - half) * bend.angle / shortestEdge));
            const int steps = std::min(stepsOf(bend.radius + half, bend.angle, chord_), most);
            for (int i = 0; i <= steps; ++i) {
                const double at = bend.from + (bend.to() - bend.from) * i / steps;
                if (at > std::min(from, to) + shortestEdge && at < std::max(from, to) - shortestEdge)
                    places.push_back(at);
            }
        }
        const auto close = [](double a, double b) { return b - a < shortestEdge; };  // bends without a leg between
        places.erase(std::unique(places.begin(), places.end(), close), places.end());
        if (from > to) std::reverse(places.begin(), places.end());
        return places;
    }
    Point3 placed(const Point2& p, double along) const
    {
        const Point3 at = frameAt(body_, along).at({p[0] + x_, p[1]});
        return {snapped(at[0]), snapped(at[1]), snapped(at[2])};
    }
    std::vector<Point2> rimRing() const
    {
        if (body_.tubes == 1) return ring(body_.rim);
        const FlangeCore core = flangeCore(body_);
        const double out = core.radius + body_.rim;
        return roundedPolygon(core.halfWidth, core.halfHeight, out, std::max(6, stepsOf(out, pi / 2, chord_)));
    }
    std::vector<Point2> screwRing(const Point2& screw) const
    {
        return circlePolygon(screw, body_.screwRadius, roundSides(body_.screwRadius, chord_));
    }
    void addBand(const std::vector<Point2>& a, double za, const std::vector<Point2>& b, double zb)
    {
        for (std::size_t i = 0; i < a.size(); ++i) {
            const std::size_t k = (i + 1) % a.size();
            add(a[i], za, b[i], zb, b[k], zb);
            add(a[i], za, b[k], zb, a[k], za);
        }
    }
    void add(const Point2& a, double za, const Point2& b, double zb, const Point2& c, double zc)
    {
        const std::array<Point3, 3> corners{placed(a, za), placed(b, zb), placed(c, zc)};
        if (corners[0] == corners[1] || corners[1] == corners[2] || corners[2] == corners[0]) return;
        const auto first = static_cast<std::uint32_t>(mesh_.points.size());
        mesh_.points.insert(mesh_.points.end(), corners.begin(), corners.end());
        mesh_.triangles.push_back({first, first + 1, first + 2});
    }

    const PortBody& body_;
    double chord_, widest_;
    double x_ = 0;  // m, of the tube that is being made
    Mesh mesh_;
};

/// Heights above a mouth at which the quarter circle is broken into chords.
std::vector<double> flareSteps(double flare, double chord)
{
    const int steps = stepsOf(flare, pi / 2, chord);
    std::vector<double> heights;
    for (int i = 0; i <= steps; ++i)
        heights.push_back(i == steps ? flare : flare * (1 - std::cos(pi / 2 * i / steps)));
    return heights;
}

/// Outside of a mouth from its edge to where the plain wall begins, as (offset, height above the mouth).
std::vector<ProfilePoint> mouthOutside(double flare, double wall, double chord)
{
    if (flare <= wall) return {{wall, 0}};
    std::vector<ProfilePoint> points{{flare, 0}};
    const double radius = flare - wall;
    for (const double step : flareSteps(radius, chord))
        points.push_back({outsideOfFlare(flare, wall, wall + step), wall + step});
    return points;
}

struct Making {
    const PortBody& body;
    const PartOptions& options;
    LipJoint joint;

    std::vector<ProfilePoint> boreUp(double from, double to, bool first, bool last) const
    {
        std::vector<ProfilePoint> up;
        if (first && body.outerFlare > 0)
            for (const double z : flareSteps(body.outerFlare, options.chord))
                up.push_back({boreOfFlare(body.outerFlare, z), z});
        else
            up.push_back({0, from});
        if (last && body.innerFlare > 0) {
            std::vector<double> steps = flareSteps(body.innerFlare, options.chord);
            for (auto z = steps.rbegin(); z != steps.rend(); ++z)
                up.push_back({boreOfFlare(body.innerFlare, *z), body.length - *z});
        } else
            up.push_back({0, to});
        return up;
    }

    /// From the inner mouth down to the plain wall.
    std::vector<ProfilePoint> innerOutside() const
    {
        std::vector<ProfilePoint> down;
        for (const ProfilePoint& p : mouthOutside(body.innerFlare, body.wall, options.chord))
            down.push_back({p.offset, body.length - p.z});
        return down;
    }

    /// From the plain wall down to the flange's back, or to the outer mouth's edge.
    std::vector<ProfilePoint> outerOutside() const
    {
        std::vector<ProfilePoint> down;
        for (const ProfilePoint& p : mouthOutside(body.outerFlare, body.wall, options.chord))
            if (p.z > body.flange || body.flange == 0) down.insert(down.begin(), p);
        if (body.flange > 0) down.push_back({outsideOfFlare(body.outerFlare, body.wall, body.flange), body.flange});
        return down;
    }

    Result<Mesh> piece(double from, double to, bool first, bool last) const;
};

void append(std::vector<ProfilePoint>& to, const std::vector<ProfilePoint>& more)
{
    to.insert(to.end(), more.begin(), more.end());
}

Result<Mesh> Making::piece(double from, double to, bool first, bool last) const
{
    SolidMaker maker(body, options.chord);
    const double t = body.wall;
    std::vector<ProfilePoint> around =
        boreUp(first ? 0 : from + joint.depth, last ? body.length : to + joint.height, first, last);
    if (last)
        append(around, innerOutside());
    else
        append(around, {{joint.lip, to + joint.height}, {joint.lip, to}, {t, to}});
    if (first)
        append(around, outerOutside());
    else
        append(around, {{t, from}, {joint.recess, from}, {joint.recess, from + joint.depth}});
    if (first && body.flange > 0) {
        for (int tube = 0; tube < body.tubes; ++tube) {
            maker.standAt(body.tubeAt(tube));
            maker.addSides(around);
        }
        maker.addRim();
        if (const auto back = maker.addFlangeFace(around.back().offset, body.flange, true); !back)
            return fail(back.error());
        if (const auto front = maker.addFlangeFace(around.front().offset, 0, false); !front) return fail(front.error());
        maker.addScrewHoles();
    } else {
        around.push_back(around.front());
        maker.addSides(around);
    }
    return merged(maker.mesh());
}

/// Stands the piece on the bed, upside down if it is better printed so.
void place(PrintedPiece& piece, const PortBody& body)
{
    const BodyFrame f = frameAt(body, piece.turned ? piece.to : piece.from);
    const double sign = piece.turned ? -1 : 1, sine = std::sin(f.turn), cosine = std::cos(f.turn);
    for (Point3& p : piece.mesh.points) {
        const double y = p[1] - f.y, z = p[2] - f.z;
        p = {p[0], snapped(sign * (y * cosine - z * sine)), snapped(sign * (y * sine + z * cosine))};
    }
    piece.height = boundsOf(piece.mesh).high[2];
}

// --- Where a bent port is split ---

/// How high a part of a bent port stands, and whether all of it is above its foot.
struct Standing {
    double low = 0, high = 0;  // m
};

class BentSplits {
public:
    BentSplits(const PortBody& body, const PartOptions& options) : body_(body), options_(options)
    {
        const double depth = lipJoint(body, options).depth;
        double from = std::max({body.outerFlare, body.flange, body.wall});
        places_.push_back(0);
        for (std::size_t i = 0; i <= body.bends.size(); ++i) {
            const bool last = i == body.bends.size();
            const double to = last ? body.length - std::max(body.innerFlare, body.wall) : body.bends[i].from;
            addPlaces(from + (i > 0 ? spare : 0), to - depth - (last ? 0 : spare));
            if (!last) from = body.bends[i].to();
        }
        places_.push_back(body.length);
    }

    /// Fewest pieces, of these the lowest.
    Result<std::vector<double>> best() const
    {
        const std::size_t n = places_.size();
        std::vector<Way> ways(n);
        ways[0] = {0, 0, 0};
        for (std::size_t k = 1; k < n; ++k)
            for (std::size_t i = 0; i < k; ++i) {
                const double height = heightOf(i, k);
                if (ways[i].pieces > mostPieces || height > options_.printerHeight) continue;
                const Way way{ways[i].pieces + 1, std::max(ways[i].highest, height), i};
                if (std::pair(way.pieces, way.highest) < std::pair(ways[k].pieces, ways[k].highest)) ways[k] = way;
            }
        if (ways.back().pieces > mostPieces) return tooHigh();
        std::vector<double> splits;
        for (std::size_t k = ways.back().before; k > 0; k = ways[k].before)
            splits.insert(splits.begin(), places_[k]);
        return splits;
    }

    /// Stands on its inner mouth; else on its outer end.
    bool standsTurned(double from, double to) const
    {
        const double turned = heightStanding(from, to, true), upright = heightStanding(from, to, false);
        return from > 0 ? turned <= upright && turned < never : turned < upright;
    }

private:
    static constexpr double spare = 1e-3;  // m of plain straight between a bend and a joint
    struct Way {
        int pieces = mostPieces + 1;
        double highest = never;  // m
        std::size_t before = 0;
    };

    void addPlaces(double from, double to)
    {
        constexpr double apart = 5e-3;  // m
        if (to < from) return;
        const int steps = std::max(1, int(std::ceil((to - from) / apart)));
        for (int i = 0; i <= steps; ++i)
            places_.push_back(from + (to - from) * i / steps);
    }

    double heightOf(std::size_t i, std::size_t k) const
    {
        const double from = places_[i], to = places_[k];
        const bool first = i == 0, last = k + 1 == places_.size();
        if (!first && !last && to - from < lipJoint(body_, options_).depth + 2e-3) return never;
        return std::min(heightStanding(from, to, false), heightStanding(from, to, true));
    }

    double heightStanding(double from, double to, bool turned) const
    {
        const bool last = to >= body_.length;
        if (turned && !last) return never;  // on its lip
        const Standing s = standing(from, to + (last ? 0 : options_.lip), turned);
        return s.low > -1e-9 ? s.high : never;  // else a leg came below its foot
    }

    Standing standing(double from, double to, bool turned) const
    {
        const BodyFrame foot = frameAt(body_, turned ? to : from);
        const double sign = turned ? -1 : 1, sine = std::sin(foot.turn), cosine = std::cos(foot.turn);
        Standing s;
        const auto note = [&](double along) {
            const BodyFrame f = frameAt(body_, along);
            const double up = sign * ((f.y - foot.y) * sine + (f.z - foot.z) * cosine);
            const double reach = std::abs(std::sin(f.turn - foot.turn)) * halfAt(along);
            s.low = std::min(s.low, up - reach), s.high = std::max(s.high, up + reach);
        };
        for (const double along : {from, to, body_.flange, body_.length - body_.innerFlare, body_.outerFlare})
            if (along >= from && along <= to) note(along);
        for (const BodyBend& bend : body_.bends)
            if (bend.from >= from && bend.to() <= to) {
                const double entered = frameAt(body_, bend.from).turn - foot.turn;
                for (const double turn : {0.0, bend.angle, pi / 2 - entered, -pi / 2 - entered})
                    if (turn >= 0 && turn <= bend.angle) note(bend.from + turn * bend.radius);
            }
        return s;
    }

    /// In the plane of the bends, corners of the polygons and all.
    double halfAt(double along) const
    {
        double offset = body_.wall;
        if (along <= body_.flange && body_.flange > 0)
            offset = body_.rim;
        else if (along <= body_.outerFlare)
            offset = std::max(offset, body_.outerFlare);
        if (body_.length - along <= body_.innerFlare) offset = std::max(offset, body_.innerFlare);
        constexpr double corners = 1.006;  // 24 sides with the circle's area
        return (body_.shape == PortShape::round ? corners * body_.radius : body_.halfHeight) + corners * offset;
    }

    Failure tooHigh() const
    {
        const auto mm = [&](double metres) { return shopLength(metres, options_.units); };
        double needed = 0;  // of the bend, or the end, that wants most
        for (const BodyBend& bend : body_.bends) {
            double least = never;
            for (std::size_t k = 1; k < places_.size(); ++k)
                for (std::size_t i = 0; i < k; ++i)
                    if (places_[i] <= bend.from && places_[k] >= bend.to()) least = std::min(least, heightOf(i, k));
            needed = std::max(needed, least);
        }
        if (needed == never || needed <= options_.printerHeight)
            return fail(Error{"", fmt::format("bends, flange, flares and lips leave no way to split the port "
                                              "for a printer's height of {}; give the legs more length",
                                              mm(options_.printerHeight))});
        return fail(Error{"", fmt::format("a bend with its joints stands {} high, and the printer's height is "
                                          "{}; take a tighter bend or a taller printer",
                                          mm(needed), mm(options_.printerHeight))});
    }

    const PortBody& body_;
    const PartOptions& options_;
    std::vector<double> places_;
};

}  // namespace

std::vector<Point2> outlinePolygon(const PortBody& body, double offset, double widest, double chord)
{
    if (body.shape == PortShape::round)
        return circlePolygon({0, 0}, body.radius + offset, roundSides(body.radius + widest, chord));
    return roundedPolygon(body.halfWidth, body.halfHeight, offset, std::max(3, stepsOf(widest, pi / 2, chord)));
}

LipJoint lipJoint(const PortBody& body, const PartOptions& options)
{
    return {.lip = (body.wall - options.lipClearance) / 2,
            .recess = (body.wall + options.lipClearance) / 2,
            .height = options.lip,
            .depth = options.lip + options.lipClearance};
}

Result<std::vector<double>> splitHeights(const PortBody& body, const PartOptions& options)
{
    const double room = options.printerHeight, lip = options.lip, length = body.length;
    const bool bent = !body.bends.empty();
    std::optional<Result<std::vector<double>>> places;
    if (bent) places = BentSplits(body, options).best();
    if (bent ? *places && (*places)->empty() : length <= room) return std::vector<double>{};
    const auto mm = [&](double metres) { return shopLength(metres, options.units); };
    if (body.wall < thinnestForLip)
        return fail("wall_mm",
                    fmt::format("the port is higher than the printer's {} and must be split, and a wall of {} "
                                "is too thin for a register lip; 2 mm or more is needed",
                                mm(room), mm(body.wall)));
    if (bent) return *places;
    const double lowest = std::max({body.outerFlare, body.flange, body.wall});
    const double highest = length - std::max(body.innerFlare, body.wall) - lipJoint(body, options).depth;
    const double least = lipJoint(body, options).depth + 2e-3;  // m, between two splits
    for (int n = std::max(2, int(std::ceil((length - lip) / (room - lip)))); n <= mostPieces; ++n) {
        const double share = (length - lip) / n;
        std::vector<double> at;
        for (int i = 1; i < n; ++i)
            at.push_back(share * i);
        at.front() = std::clamp(at.front(), lowest, std::max(lowest, highest));
        at.back() = std::min(at.back(), highest);
        for (int i = 1; i + 1 < n - 1; ++i)
            at[std::size_t(i)] = at.front() + (at.back() - at.front()) * i / (n - 2);
        bool fits =
            at.front() >= lowest && at.front() <= highest && at.front() + lip <= room && length - at.back() <= room;
        for (std::size_t i = 1; i < at.size(); ++i)
            fits = fits && at[i] - at[i - 1] >= least && at[i] + lip - at[i - 1] <= room;
        if (fits) return at;
    }
    return fail("",
                fmt::format("flange, flares and lips do not fit a printer's height of {}: the outer end needs {}, the "
                            "inner end {}",
                            mm(room), mm(lowest + lip), mm(length - highest)));
}

Result<std::vector<PrintedPiece>> printedPieces(const PortBody& body, const PartOptions& options)
{
    const auto splits = splitHeights(body, options);
    if (!splits) return fail(splits.error());
    const Making making{body, options, lipJoint(body, options)};
    std::vector<PrintedPiece> pieces;
    for (std::size_t i = 0; i <= splits->size(); ++i) {
        const bool first = i == 0, last = i == splits->size();
        PrintedPiece piece;
        piece.from = first ? 0 : (*splits)[i - 1], piece.to = last ? body.length : (*splits)[i];
        // On its inner mouth: that lies flat on the bed, and its recess looks up.
        piece.turned =
            body.bends.empty() ? last && !first : BentSplits(body, options).standsTurned(piece.from, piece.to);
        piece.tubes = first ? body.tubes : 1;
        auto mesh = making.piece(piece.from, piece.to, first, last);
        if (!mesh) return fail(mesh.error());
        piece.mesh = std::move(*mesh);
        place(piece, body);
        pieces.push_back(std::move(piece));
    }
    return pieces;
}

}  // namespace portwright
