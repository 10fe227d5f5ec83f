// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/scan_desk.h"

#include "app/desktop/components/figure_text.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>

#include <algorithm>

namespace portwright {
namespace {

constexpr std::size_t drawnTriangles = 60'000, drawnPatches = 4'000;  // turned by the mouse without delay
constexpr std::size_t keptScans = 4;                                  // a million triangles are some 50 MB

Mesh part(const Mesh& mesh, std::size_t from, std::size_t to)
{
    Mesh some;
    some.points = mesh.points;
    some.triangles.assign(mesh.triangles.begin() + std::ptrdiff_t(from), mesh.triangles.begin() + std::ptrdiff_t(to));
    return some;
}

void append(DrawnMesh& drawn, const Mesh& mesh)
{
    const auto before = std::uint32_t(drawn.points.size());
    for (const Point3& p : mesh.points)
        drawn.points.push_back({float(p[0]), float(p[1]), float(p[2])});
    for (const Triangle& t : mesh.triangles)
        drawn.triangles.push_back({before + t[0], before + t[1], before + t[2]});
}

ScanPicture pictureOf(const Scan& scan)
{
    ScanPicture picture;
    const std::size_t patches = std::min(scan.patchFrom, scan.mesh.triangles.size());
    append(picture.mesh, reduced(part(scan.mesh, 0, patches), drawnTriangles));
    picture.mesh.patchFrom = picture.mesh.triangles.size();
    append(picture.mesh, reduced(part(scan.mesh, patches, scan.mesh.triangles.size()), drawnPatches));
    for (const ScanOpening& opening : scan.openings)
        picture.openings.push_back(
            {.centre = opening.centre, .area = opening.area, .place = QString::fromStdString(opening.place)});
    return picture;
}

Result<std::shared_ptr<const ReadScan>> readWhole(const std::filesystem::path& file, const ScanOptions& options,
                                                  const Watch& watch)
{
    auto scan = readScan(file, options, watch);
    if (!scan) return fail(scan.error());
    auto read = std::make_shared<ReadScan>();
    read->picture = pictureOf(*scan);
    read->scan = std::move(*scan);
    return read;
}

}  // namespace

bool isScanFile(const QString& path)
{
    const QString ending = QFileInfo(path).suffix().toLower();
    return ending == QLatin1String("stl") || ending == QLatin1String("obj") || ending == QLatin1String("ply");
}

ScanDesk::ScanDesk(MeasureDesk& desk, QObject* parent) : QObject(parent), desk_(desk)
{
    connect(&reading_, &LongTask::cancelled, this, &ScanDesk::changed);
    connect(&crossing_, &LongTask::cancelled, this, &ScanDesk::changed);
}

QString ScanDesk::pathOf(const ScanMeasurement& scan) const
{
    const QString name = QString::fromStdString(scan.file);
    if (name.isEmpty() || QFileInfo(name).isAbsolute()) return name;
    const QString folder = desk_.bench().projectFolder();
    return folder.isEmpty() ? name : QDir(folder).absoluteFilePath(name);
}

/// Relative to the project where it lies beside or below it, so that both can be moved together.
std::string ScanDesk::nameFor(const QString& path) const
{
    const QString folder = desk_.bench().projectFolder();
    const QString relative = folder.isEmpty() ? path : QDir(folder).relativeFilePath(path);
    return (relative.startsWith(QLatin1String("..")) ? path : relative).toStdString();
}

const ScanDesk::Known* ScanDesk::find(const ScanMeasurement& scan) const
{
    const QString path = pathOf(scan);
    const auto found = std::find_if(known_.begin(), known_.end(), [&](const Known& one) {
        return one.path == path && one.unit == scan.unit && one.wall == scan.wall;
    });
    return found == known_.end() ? nullptr : &*found;
}

std::shared_ptr<const ReadScan> ScanDesk::loaded(const ScanMeasurement& scan) const
{
    const Known* known = find(scan);
    return known ? known->read : nullptr;
}

std::optional<std::size_t> ScanDesk::crossings(const ScanMeasurement& scan) const
{
    const Known* known = find(scan);
    return known ? known->crossings : std::nullopt;
}

void ScanDesk::read(const QString& path, std::optional<double> unit, std::optional<double> wall)
{
    start({.path = path, .options = {.unit = unit, .wall = wall, .units = desk_.units()}, .apply = true});
}

void ScanDesk::readAgain(std::optional<double> unit, std::optional<double> wall)
{
    if (const auto* scan = desk_.method<ScanMeasurement>(); scan && !scan->file.empty())
        read(pathOf(*scan), unit, wall);
}

void ScanDesk::load()
{
    const auto* scan = desk_.method<ScanMeasurement>();
    if (!scan || scan->file.empty() || find(*scan) || reading_.running()) return;
    if (!QFileInfo::exists(pathOf(*scan))) return;
    start({.path = pathOf(*scan),
           .options = {.unit = scan->unit, .wall = scan->wall, .units = desk_.units()},
           .apply = false});
}

void ScanDesk::start(const Wish& wish)
{
    refusal_.clear();
    crossing_.cancel();
    const std::filesystem::path file = QFile::encodeName(wish.path).toStdString();
    startTask<std::shared_ptr<const ReadScan>>(
        reading_, [file, options = wish.options](const Watch& watch) { return readWhole(file, options, watch); },
        [this, wish](Result<std::shared_ptr<const ReadScan>> read) { take(wish, std::move(read)); });
    emit changed();
}

void ScanDesk::take(const Wish& wish, Result<std::shared_ptr<const ReadScan>> read)
{
    if (!read) {
        refusal_ = localSentence(read.error().message);
        emit changed();
        return;
    }
    const Scan& scan = (*read)->scan;
    std::erase_if(known_, [&](const Known& one) {
        return one.path == wish.path && one.unit == scan.unit && one.wall == scan.wall;
    });
    if (known_.size() >= keptScans) known_.erase(known_.begin());
    known_.push_back({.path = wish.path, .unit = scan.unit, .wall = scan.wall, .read = *read, .crossings = {}});
    if (wish.apply && desk_.method<ScanMeasurement>())
        desk_.editMethod<ScanMeasurement>(tr("Read Scan"), [&](ScanMeasurement& m) {
            auto places = std::move(m.places);
            m = measurementOf(scan, nameFor(wish.path));
            m.places = std::move(places);
        });
    lookForCrossings(known_.size() - 1);
    emit changed();
}

void ScanDesk::lookForCrossings(std::size_t at)
{
    const auto read = known_[at].read;
    startTask<std::size_t>(
        crossing_, [read](const Watch& watch) { return selfIntersections(read->scan.mesh, watch); },
        [this, read](Result<std::size_t> found) {
            for (Known& one : known_)
                if (one.read == read && found) one.crossings = *found;
            emit changed();
        });
}

}  // namespace portwright
