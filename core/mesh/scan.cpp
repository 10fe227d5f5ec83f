// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/scan.h"

#include "core/mesh/mesh_file.h"
#include "core/mesh/mesh_patch.h"
#include "core/mesh/mesh_shape.h"
#include "core/mesh/mesh_surface.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace portwright {
namespace {

using Eigen::Vector3d;

// Common practice, no source: scans of a cavity come within 2 to 5 %, of which this stays with a perfect mesh.
constexpr double scanSpread = 0.02;
constexpr double wallSpread = 0.10;     // of the wall's thickness; common practice for moulded parts, no source
constexpr double strayShare = 0.02;     // of the largest piece's surface
constexpr double slitRoundness = 1e-4;  // 4 pi area / perimeter^2: below, a crack between faces and no opening
constexpr double shellShare = 0.03;  // 3 V / area / length: 0.5 for a sphere, 0.3 for boxes, 0.01 for a shell's walls

struct FileUnit {
    double metres;
    const char* name;
};
constexpr FileUnit fileUnits[] = {{1e-3, "mm"}, {1e-2, "cm"}, {0.0254, "inch"}, {1, "m"}};

Vector3d vectorOf(const Point3& p) { return Eigen::Map<const Vector3d>(p.data()); }
Vector3d areaVector(const Mesh& mesh, const Triangle& t)
{
    const Vector3d a = vectorOf(mesh.points[t[0]]);
    return (vectorOf(mesh.points[t[1]]) - a).cross(vectorOf(mesh.points[t[2]]) - a) / 2;
}

Watch within(const Watch& watch, double from, double to)
{
    Watch part{.progress = {}, .cancelled = watch.cancelled};
    if (watch.progress)
        part.progress = [&watch, from, to](double f, std::string_view step) {
            watch.progress(from + (to - from) * f, step);
        };
    return part;
}

std::string counted(std::size_t count, const char* one, const char* many)
{
    return fmt::format("{} {}", count, count == 1 ? one : many);
}

/// A rim with what closes it, in units of the file.
struct Closing {
    Rim rim;
    Patch patch;
    std::vector<Triangle> triangles;     ///< of the patch, against the rim's sense, as places in the surface's points
    Vector3d normal = Vector3d::Zero();  ///< sum of the triangles' area vectors
    double area = 0, perimeter = 0;
    double rough = 0;  ///< rms distance of the rim from its mean plane
    double bulge = 0;  ///< mean of tan(angle/2) between the walls beside the rim and the patch
};

double perimeterOf(const Mesh& mesh, const Rim& rim)
{
    double sum = 0;
    for (std::size_t i = 0; i < rim.points.size(); ++i)
        sum += (vectorOf(mesh.points[rim.points[i]]) - vectorOf(mesh.points[rim.points[(i + 1) % rim.points.size()]]))
                   .norm();
    return sum;
}

/// How the walls beside the rim lean against the patch. From 60 degrees on they stand on it as a tube's wall does,
/// and nothing says that the missing part bulges.
double bulgeOf(const Surface& surface, const Closing& c)
{
    double sum = 0, around = 0;
    for (const std::uint32_t h : c.rim.halfEdges) {
        const Triangle& t = surface.mesh.triangles[h / 3];
        const double length =
            (vectorOf(surface.mesh.points[t[h % 3]]) - vectorOf(surface.mesh.points[t[(h + 1) % 3]])).norm();
        const Vector3d wall = areaVector(surface.mesh, t);
        const double angle = std::atan2(wall.cross(c.normal).norm(), wall.dot(c.normal));
        around += length;
        if (angle < pi / 3) sum += length * std::tan(angle / 2);
    }
    return around > 0 ? sum / around : 0;
}

Closing closingOf(Surface& surface, Rim rim)
{
    Closing c{.rim = std::move(rim), .patch = {}, .triangles = {}};
    std::vector<Point3> points;
    points.reserve(c.rim.points.size());
    for (const std::uint32_t i : c.rim.points)
        points.push_back(surface.mesh.points[i]);
    c.patch = patchOf(points);
    std::vector<std::uint32_t> places = c.rim.points;
    if (c.patch.fan) {
        places.push_back(static_cast<std::uint32_t>(surface.mesh.points.size()));
        surface.mesh.points.push_back(c.patch.centre);
    }
    for (const Triangle& t : c.patch.triangles)
        c.triangles.push_back({places[t[0]], places[t[2]], places[t[1]]});
    for (const Triangle& t : c.triangles) {
        const Vector3d n = areaVector(surface.mesh, t);
        c.normal += n;
        c.area += n.norm();
    }
    c.perimeter = perimeterOf(surface.mesh, c.rim);
    if (c.normal.norm() > 0) {
        double squares = 0, mean = 0;
        const auto count = static_cast<double>(points.size());
        for (const Point3& p : points)
            mean += vectorOf(p).dot(c.normal.normalized()) / count;
        for (const Point3& p : points)
            squares += std::pow(vectorOf(p).dot(c.normal.normalized()) - mean, 2) / count;
        c.rough = std::sqrt(squares);
        c.bulge = bulgeOf(surface, c);
    }
    return c;
}

bool isSlit(const Closing& c) { return 4 * pi * c.area < slitRoundness * c.perimeter * c.perimeter; }

/// One standard deviation of the volume: a cap on a circle of that area is area x radius x tan(angle/2)/2 large.
double uncertaintyOf(const Closing& c)
{
    return std::hypot(c.normal.norm() * c.rough, c.area * std::sqrt(c.area / pi) * c.bulge / 2);
}

/// One connected piece of the surface, closed.
struct Piece {
    std::uint32_t number = 0;
    std::size_t faces = 0;
    double area = 0;    ///< without patches
    double volume = 0;  ///< negative: inside out
    Mesh mesh;          ///< only of what is kept and compared
    std::size_t patchFrom = 0;
    std::vector<Closing> closings;
};

std::vector<Piece> piecesOf(const Surface& surface)
{
    std::vector<Piece> pieces(surface.pieces);
    for (std::size_t t = 0; t < surface.mesh.triangles.size(); ++t) {
        Piece& piece = pieces[surface.piece[t]];
        piece.number = surface.piece[t];
        piece.area += areaVector(surface.mesh, surface.mesh.triangles[t]).norm();
        ++piece.faces;
    }
    return pieces;
}

/// The piece with its patches as a mesh of its own; false: cancelled.
bool makeMesh(Piece& piece, const Surface& surface, const Watch& watch)
{
    constexpr std::uint32_t unseen = noMate;
    std::vector<std::uint32_t> placeOf(surface.mesh.points.size(), unseen);
    const auto add = [&](const Triangle& t) {
        Triangle u{};
        for (std::size_t i = 0; i < 3; ++i) {
            std::uint32_t& place = placeOf[t[i]];
            if (place == unseen) {
                place = static_cast<std::uint32_t>(piece.mesh.points.size());
                piece.mesh.points.push_back(surface.mesh.points[t[i]]);
            }
            u[i] = place;
        }
        piece.mesh.triangles.push_back(u);
    };
    for (std::size_t t = 0; t < surface.mesh.triangles.size(); ++t) {
        if (t % 65536 == 0 && isCancelled(watch)) return false;
        if (surface.piece[t] == piece.number) add(surface.mesh.triangles[t]);
    }
    piece.patchFrom = piece.mesh.triangles.size();
    for (const Closing& c : piece.closings)
        for (const Triangle& t : c.triangles)
            add(t);
    piece.volume = volumeOf(piece.mesh);
    return true;
}

struct Guess {
    double unit = 1e-3;
    std::string remark;
};

/// Which unit makes this what other measurements say, or a cavity of a motorcycle; and whether another would, too.
Guess guessUnit(double longest, double volume, const ScanOptions& options)
{
    Guess guess;
    const UnitSystem units = options.units;
    const char* outside = options.wall ? " outside" : "";
    const auto sizeIn = [&](const FileUnit& u) {
        return fmt::format("{} long with {}{}", formatQuantity(longest * u.metres, Dimension::length, units),
                           formatQuantity(volume * std::pow(u.metres, 3), Dimension::volume, units), outside);
    };
    if (options.otherwise) {
        const auto off = [&](const FileUnit& u) {
            return std::abs(std::log(volume * std::pow(u.metres, 3) / *options.otherwise));
        };
        const FileUnit& closest = *std::min_element(std::begin(fileUnits), std::end(fileUnits),
                                                    [&](const auto& a, const auto& b) { return off(a) < off(b); });
        guess.unit = closest.metres;
        guess.remark =
            fmt::format("The unit of the file is guessed from the other measurements, which say {}: {}, "
                        "which makes it {}.",
                        formatQuantity(*options.otherwise, Dimension::volume, units), closest.name, sizeIn(closest));
        return guess;
    }
    std::vector<FileUnit> fitting;
    for (const FileUnit& u : fileUnits) {
        const double length = longest * u.metres, litres = 1000 * volume * std::pow(u.metres, 3);
        if (length >= 0.05 && length <= 1 && litres >= 0.2 && litres <= 200) fitting.push_back(u);
    }
    if (fitting.empty()) {
        guess.remark =
            fmt::format("In no unit is this a cavity of a motorcycle; mm are assumed, which makes it {}. State "
                        "the unit of the file.",
                        sizeIn(fileUnits[0]));
        return guess;
    }
    guess.unit = fitting.front().metres;
    guess.remark = fmt::format("The unit of the file is guessed from its size: {}, which makes it {}",
                               fitting.front().name, sizeIn(fitting.front()));
    for (std::size_t i = 1; i < fitting.size(); ++i)
        guess.remark += fmt::format("; {} would make it {}", fitting[i].name, sizeIn(fitting[i]));
    guess.remark += ".";
    return guess;
}

/// A slip of the unit makes a thimble or a garage.
void tellOddSize(Scan& scan, double longest, double volume, const ScanOptions& options)
{
    constexpr double least = 0.05e-3, most = 0.2;  // m3; common practice, no source: what fits on a motorcycle
    if (volume >= least && volume <= most) return;
    scan.remarks.push_back(fmt::format("In the unit that was stated this is {} long with {}{}, too {} for a cavity of "
                                       "a motorcycle; check the unit.",
                                       formatQuantity(longest, Dimension::length, options.units),
                                       formatQuantity(volume, Dimension::volume, options.units),
                                       options.wall ? " outside" : "", volume < least ? "small" : "large"));
}

std::string placeOf(const Point3& at, const Bounds& bounds)
{
    Point3 u{0, 0, 0};  // -1..1 within the bounds
    for (std::size_t i = 0; i < 3; ++i)
        if (const double size = bounds.high[i] - bounds.low[i]; size > 0) u[i] = 2 * (at[i] - bounds.low[i]) / size - 1;
    const std::size_t side = std::abs(u[0]) >= std::abs(u[1]) ? 0 : 1;
    const std::string name = (u[side] < 0 ? "\u2212" : "+") + std::string(side == 0 ? "x" : "y");
    const bool aside = std::abs(u[side]) > 1.0 / 3;
    if (std::abs(u[2]) > std::abs(u[side]) && std::abs(u[2]) > 0.75)
        return std::string(u[2] > 0 ? "on top" : "at the bottom") + (aside ? ", towards " + name : "");
    const char* height = u[2] > 1.0 / 3 ? "high" : u[2] < -1.0 / 3 ? "low" : "halfway up";
    return std::string(height) + (aside ? " on the " + name + " side" : ", in the middle");
}

std::vector<ScanOpening> openingsOf(const Piece& piece, const Bounds& bounds, double unit)
{
    std::vector<ScanOpening> openings;
    for (const Closing& c : piece.closings) {
        if (isSlit(c)) continue;
        ScanOpening o{.centre = c.patch.centre,
                      .area = c.area * unit * unit,
                      .perimeter = c.perimeter * unit,
                      .edges = static_cast<int>(c.rim.points.size()),
                      .place = {},
                      .uncertainty = uncertaintyOf(c) * unit * unit * unit};
        for (double& x : o.centre)
            x *= unit;
        o.place = placeOf(o.centre, bounds);
        openings.push_back(std::move(o));
    }
    std::stable_sort(openings.begin(), openings.end(),
                     [](const ScanOpening& a, const ScanOpening& b) { return a.area > b.area; });
    return openings;
}

/// Volume, sections and length of what is inside a wall, from its outside.
void takeOffWall(Scan& scan, double wall, double mitre)
{
    const double t = wall;
    scan.volume += -scan.area * t + mitre * t * t - 4 * pi / 3 * t * t * t;
    scan.longest = longestInside(scan.mesh, scan.patchFrom, t);
    Profile& p = scan.profile;
    const double length = p.at.back(), inner = std::max(length - 2 * t, 0.01 * length);
    for (std::size_t i = 0; i < p.at.size(); ++i) {
        const double area = p.area[i] - p.perimeter[i] * t + pi * t * t;
        p.at[i] *= inner / length;
        p.area[i] = std::max(area, 0.01 * p.area[i]);
        p.perimeter[i] = std::max(p.perimeter[i] - 2 * pi * t, std::sqrt(4 * pi * p.area[i]));
    }
    for (std::size_t i = 0; i < 3; ++i)
        scan.axisFrom[i] += scan.axis[i] * (length - inner) / 2;
}

/// What the reader had to do to the faces, told.
void tellRepairs(Scan& scan, const Surface& surface)
{
    auto& remarks = scan.remarks;
    if (surface.duplicateFaces > 0)
        remarks.push_back(
            counted(surface.duplicateFaces, "face that was there twice is", "faces that were there twice are") +
            " left out.");
    if (surface.degenerateFaces > 0)
        remarks.push_back(counted(surface.degenerateFaces, "face without area is", "faces without area are") +
                          " left out.");
    if (surface.turnedFaces > 0)
        remarks.push_back(counted(surface.turnedFaces, "face is", "faces are") + " turned to agree with the others.");
    if (surface.crowdedEdges > 0)
        remarks.push_back("More than two faces meet at " + counted(surface.crowdedEdges, "edge", "edges") +
                          "; look whether a wall inside was scanned along.");
    if (scan.turned) remarks.push_back("The mesh was inside out and is turned.");
}

void tellPieces(Scan& scan, const std::vector<Piece>& pieces, const Piece& kept, const ScanOptions& options)
{
    std::size_t strays = 0, faces = 0;
    for (const Piece& piece : pieces) {
        if (&piece == &kept) continue;
        ++scan.strayPieces;
        if (piece.mesh.triangles.empty()) {
            ++strays;
            faces += piece.faces;
            continue;
        }
        Point3 middle{0, 0, 0};
        const Bounds bounds = boundsOf(piece.mesh), outer = boundsOf(kept.mesh);
        bool inside = true;
        for (std::size_t i = 0; i < 3; ++i) {
            middle[i] = (bounds.low[i] + bounds.high[i]) / 2;
            inside = inside && bounds.low[i] >= outer.low[i] && bounds.high[i] <= outer.high[i];
        }
        scan.remarks.push_back(fmt::format(
            "A second piece of {} lies {} the largest and is left out; {}.",
            formatQuantity(std::abs(piece.volume) * std::pow(scan.unit, 3), Dimension::volume, options.units),
            inside ? "within the bounds of" : "beside",
            inside ? "if it is the inner side of the wall, keep only that in the file, and if it is a part inside, "
                     "deduct it"
                   : "if both belong to one cavity, join them in the file"));
    }
    if (strays > 0)
        scan.remarks.push_back(counted(strays, "stray piece", "stray pieces") + " (" + counted(faces, "face", "faces") +
                               ", each under 2 % of the largest piece's surface) left out.");
}

void tellOpenings(Scan& scan, const Piece& kept, UnitSystem units)
{
    std::size_t slits = 0, fans = 0;
    for (const Closing& c : kept.closings) {
        slits += isSlit(c);
        fans += c.patch.fan;
    }
    double area = 0;
    for (const ScanOpening& o : scan.openings)
        area += o.area;
    if (!scan.openings.empty())
        scan.remarks.push_back(counted(scan.openings.size(), "opening", "openings") + " closed, " +
                               formatQuantity(area, Dimension::area, units) + " in all, the largest " +
                               scan.openings.front().place + ".");
    if (slits > 0) scan.remarks.push_back(counted(slits, "crack", "cracks") + " between faces closed.");
    if (fans > 0)
        scan.remarks.push_back(counted(fans, "opening is", "openings are") +
                               " closed by a fan from the middle, because no smoother patch was found.");
}

/// Closes every piece that is not stray and gives the largest; null where nothing encloses a volume.
Result<Piece*> largestOf(Surface& surface, std::vector<Piece>& pieces, const Watch& watch)
{
    double largestArea = 0;
    for (const Piece& piece : pieces)
        largestArea = std::max(largestArea, piece.area);
    std::vector<Rim> rims = rimsOf(surface);
    std::size_t done = 0;
    for (Rim& rim : rims) {
        if (isCancelled(watch)) return cancelledWork();
        report(watch, static_cast<double>(done++) / static_cast<double>(rims.size()), "closing openings");
        Piece& piece = pieces[rim.piece];
        if (piece.area >= strayShare * largestArea) piece.closings.push_back(closingOf(surface, std::move(rim)));
    }
    Piece* largest = nullptr;
    for (Piece& piece : pieces) {
        if (piece.area < strayShare * largestArea) continue;
        if (!makeMesh(piece, surface, watch)) return cancelledWork();
        if (!largest || std::abs(piece.volume) > std::abs(largest->volume)) largest = &piece;
    }
    return largest;
}

Result<Scan> measured(const Surface& surface, const std::vector<Piece>& pieces, Piece& kept, const ScanOptions& options,
                      const Watch& watch)
{
    Scan scan;
    scan.turned = kept.volume < 0;
    const double sign = scan.turned ? -1 : 1;
    if (isCancelled(watch)) return cancelledWork();
    const double fileLongest = longestOf(kept.mesh);
    if (!(std::abs(kept.volume) > 1e-6 * std::pow(fileLongest, 3)))
        return fail("", fmt::format("the {} no space, so there is no volume to measure",
                                    kept.faces == 1 ? "one face of the mesh encloses"
                                                    : fmt::format("{} faces of the mesh enclose", kept.faces)));
    scan.unit = options.unit.value_or(1e-3);
    if (!options.unit) {
        const Guess guess = guessUnit(fileLongest, std::abs(kept.volume), options);
        scan.unit = guess.unit;
        scan.unitGuessed = true;
        scan.remarks.push_back(guess.remark);
    }
    const double unit = scan.unit, cube = unit * unit * unit;
    if (options.unit) tellOddSize(scan, fileLongest * unit, std::abs(kept.volume) * cube, options);
    const auto summed = edgeSumsOf(surface, kept.number, sign, watch);
    if (!summed) return fail(summed.error());
    const EdgeSums& sums = *summed;
    report(watch, 0.4, "measuring");

    scan.patchFrom = kept.patchFrom;
    scan.area = kept.area * unit * unit;
    scan.volume = std::abs(kept.volume) * cube;
    scan.longest = fileLongest * unit;
    scan.strayPieces = 0;
    scan.duplicateFaces = static_cast<int>(surface.duplicateFaces);
    scan.degenerateFaces = static_cast<int>(surface.degenerateFaces);
    tellRepairs(scan, surface);
    tellPieces(scan, pieces, kept, options);

    scan.mesh = std::move(kept.mesh);
    for (Point3& p : scan.mesh.points)
        for (double& x : p)
            x *= unit;
    if (scan.turned)
        for (Triangle& t : scan.mesh.triangles)
            std::swap(t[1], t[2]);
    scan.openings = openingsOf(kept, boundsOf(scan.mesh), unit);
    tellOpenings(scan, kept, options.units);
    if (isCancelled(watch)) return cancelledWork();

    scan.axis = longAxisOf(scan.mesh);
    PlacedProfile placed = profileAlong(scan.mesh, scan.axis);
    scan.profile = std::move(placed.profile);
    scan.axisFrom = placed.from;
    report(watch, 0.9, "measuring");

    const double thickness = 3 * scan.volume / scan.area;
    if (thickness < shellShare * scan.longest)
        scan.remarks.push_back(fmt::format("This looks like the walls of a shell, some {} thick, and not like the air "
                                           "inside; keep only the inner surface in the file.",
                                           formatQuantity(thickness * 2 / 3, Dimension::length, options.units)));
    if (options.wall) {
        // Beyond V / area (a third of a ball's radius) the inward formula means nothing.
        if (*options.wall * scan.area >= scan.volume)
            return fail("wall", fmt::format("a wall of {} leaves nothing inside this scan; make it thinner",
                                            formatQuantity(*options.wall, Dimension::length, options.units)));
        scan.wall = options.wall;
        takeOffWall(scan, *options.wall, sums.mitre * unit);
    }
    double squares = std::pow(scanSpread * scan.volume, 2) + std::pow(sums.faceting * cube, 2) +
                     std::pow(wallSpread * scan.wall.value_or(0) * scan.area, 2);
    for (const ScanOpening& o : scan.openings)
        squares += o.uncertainty * o.uncertainty;
    scan.uncertainty = std::sqrt(squares);
    return scan;
}

}  // namespace

Result<Scan> scanOf(Mesh mesh, const ScanOptions& options, const Watch& watch)
{
    if (options.unit && !(*options.unit > 0 && std::isfinite(*options.unit)))
        return fail("unit", "the unit of the file must be above 0");
    if (options.wall && !(*options.wall >= 0 && std::isfinite(*options.wall)))
        return fail("wall", "the wall must be 0 or thicker");
    auto surface = surfaceOf(std::move(mesh), within(watch, 0, 0.5));
    if (!surface) return fail(surface.error());
    std::vector<Piece> pieces = piecesOf(*surface);
    const auto kept = largestOf(*surface, pieces, within(watch, 0.5, 0.7));
    if (!kept) return fail(kept.error());
    return measured(*surface, pieces, **kept, options, within(watch, 0.7, 1));
}

Result<Scan> readScan(const std::filesystem::path& file, const ScanOptions& options, const Watch& watch)
{
    auto mesh = readMeshFile(file, within(watch, 0, 0.5));
    if (!mesh) return fail(mesh.error());
    auto scan = scanOf(std::move(*mesh), options, within(watch, 0.5, 1));
    if (!scan && scan.error().field.empty()) return fail(file.string(), scan.error().message);
    return scan;
}

ScanMeasurement measurementOf(const Scan& scan, std::string file)
{
    return {.file = std::move(file),
            .unit = scan.unit,
            .wall = scan.wall,
            .volume = scan.volume,
            .uncertainty = scan.uncertainty,
            .profile = scan.profile,
            .longest = scan.longest};
}

std::string stlBytes(const Mesh& mesh, double unit)
{
    std::string bytes(80, ' ');
    const auto append = [&bytes](std::uint32_t value, int count) {
        for (int i = 0; i < count; ++i)
            bytes += static_cast<char>(value >> 8 * i & 0xff);
    };
    append(static_cast<std::uint32_t>(mesh.triangles.size()), 4);
    bytes.reserve(bytes.size() + 50 * mesh.triangles.size());
    for (const Triangle& t : mesh.triangles) {
        std::array<Eigen::Vector3f, 3> corners;  // as written: the normal is theirs, even where they are close together
        for (std::size_t i = 0; i < 3; ++i)
            for (std::size_t k = 0; k < 3; ++k)
                corners[i][Eigen::Index(k)] = static_cast<float>(mesh.points[t[i]][k] / unit);
        const Vector3d first = corners[0].cast<double>();
        const Vector3d normal =
            (corners[1].cast<double>() - first).cross(corners[2].cast<double>() - first).normalized();
        for (const double x : normal)
            append(std::bit_cast<std::uint32_t>(static_cast<float>(x)), 4);
        for (const Eigen::Vector3f& corner : corners)
            for (const float x : corner)
                append(std::bit_cast<std::uint32_t>(x), 4);
        append(0, 2);
    }
    return bytes;
}

}  // namespace portwright
