// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/port_report.h"

#include "app/console/solved.h"
#include "core/document/json_text.h"
#include "core/parts/part_set.h"
#include "core/port/air_speed.h"
#include "core/response/summary.h"
#include "core/sizing/sizing.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <sstream>

namespace portwright::console {

namespace {

const PortOpening* portAt(const Model& model, int opening)
{
    if (opening < 0 || opening >= int(model.housing.openings.size())) return nullptr;
    return std::get_if<PortOpening>(&model.housing.openings[std::size_t(opening)].kind);
}

// The first port of the main cavity, else the first there is, -1 without one.
int firstPort(const Model& model)
{
    for (int i = 0; i < int(model.housing.openings.size()); ++i)
        if (portAt(model, i) && !inSecond(model.housing, i)) return i;
    for (int i = 0; i < int(model.housing.openings.size()); ++i)
        if (portAt(model, i)) return i;
    return -1;
}

// The one that is meant: named, or the first. -1: none there, and none named.
Result<int> openingMeant(const Model& model, const PortWanted& wanted)
{
    if (!wanted.opening) return firstPort(model);
    if (portAt(model, *wanted.opening)) return *wanted.opening;
    std::string ports;
    for (int i = 0; i < int(model.housing.openings.size()); ++i)
        if (portAt(model, i)) ports += fmt::format("{}{}", ports.empty() ? "" : ", ", i + 1);
    return fail("openings", fmt::format("opening {} is no port; {}", *wanted.opening + 1,
                                        ports.empty() ? "it has none" : "its ports: opening " + ports));
}

Result<int> portMeant(const Model& model, const PortWanted& wanted)
{
    const auto opening = openingMeant(model, wanted);
    if (!opening || *opening >= 0) return opening;
    return fail("openings", "the housing has no port to size; --search looks for one");
}

// What stops it first at its tuning, and how loud it is then.
void addLimit(PortFigures& f, const Model& with)
{
    const auto curves = curvesOf(with, logGrid(f.tuning, f.tuning, 1));
    if (!curves) return;
    const LimitCurves limits = limitsOf(with, *curves);
    f.loudest = limits.loudest[0];
    f.limit = limits.limit.front();
}

PortFigures figuresOf(const Model& model, int opening, const PortOpening& port, const SizedPort& sized,
                      double tolerance)
{
    const Housing& housing = model.housing;
    const PortSpace space = spaceOf(model, opening);
    CavityRoom room = roomOf(cavityOf(housing, opening));
    PortFigures f;
    f.opening = opening;
    f.number = numberOf(housing, opening);
    f.port = port;
    f.taken = outlineVolume(port);
    f.left = room.netVolume = space.empty.netVolume - f.taken;
    f.tuning = sized.tuning;
    f.perLength = sized.tuningPerLength;
    f.spread = tuningSpread(sized, tolerance);
    f.second = inSecond(housing, opening);
    if (!port.classical && cavityOf(housing, opening).measurements.empty())
        f.assumedShape = assumedShapeSpread(port, room, model.air);
    f.airLimit = recommendedAirSpeed(port);
    f.run = whyNotInRun(port, cavityOf(housing, opening));
    const Model with = withPort(model, opening, space, port);
    f.textbook = textbookTuning(with, f.second ? CavityId::second : CavityId::main);
    for (int i = 0; i < int(housing.openings.size()); ++i)
        f.shared |= i != opening && portAt(model, i) && inSecond(housing, i) == f.second;
    if (f.tuning > 0) addLimit(f, with);
    return f;
}

Result<std::vector<PortFigures>> portsOf(const Model& model, const PortWanted& wanted)
{
    std::vector<PortFigures> all;
    const bool tuned = tuningOf(model).has_value();
    for (int i = 0; i < int(model.housing.openings.size()); ++i) {
        const PortOpening* port = portAt(model, i);
        if (!port || i != wanted.opening.value_or(i)) continue;
        SizedPort sized{port->length, 0, 0};
        if (tuned) {
            const auto now = tuningAt(port->length, tuningOfCut(model, i));
            if (!now) return fail(fmt::format("openings/{}", i), now.error().message);
            sized = *now;
        }
        all.push_back(figuresOf(model, i, *port, sized, wanted.tolerance));
    }
    return all;
}

Result<void> addSized(HousingPorts& report, const Model& model, const PortWanted& wanted)
{
    const auto opening = portMeant(model, wanted);
    if (!opening) return fail(opening.error());
    const TuningOfCut cut = tuningOfCut(model, *opening);
    const auto sized = wanted.tune ? lengthFor(*wanted.tune, cut) : tuningAt(*wanted.length, cut);
    if (!sized) return fail(fmt::format("openings/{}", *opening), sized.error().message);
    report.byTuning = wanted.tune.has_value();
    if (const Cavity& cavity = cavityOf(model.housing, *opening); cavity.measurements.empty())
        report.statedVolume = cavity.netVolume;
    report.sized = figuresOf(model, *opening, cutTo(*portAt(model, *opening), sized->length), *sized, wanted.tolerance);
    return {};
}

Result<PortStock> stockOf(const std::string& file)
{
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    if (!in || !(text << in.rdbuf()))
        return fail(file, "the table of stock cannot be read; check the name, or take \"metric\" or \"inch\"");
    auto stock = readPortStock(text.str());
    if (!stock) return fail(file + ", " + stock.error().field, stock.error().message);
    return stock;
}

Result<void> addSearch(HousingPorts& report, const Model& model, const PortWanted& wanted)
{
    auto opening = openingMeant(model, wanted);
    if (!opening) return fail(opening.error());
    if (inSecond(model.housing, *opening)) {
        if (wanted.opening)
            return fail(fmt::format("openings/{}", *opening),
                        "this port is in the second cavity; --search looks for ports of the main one");
        opening = -1;
    }
    SearchRequest request = *wanted.search;
    request.space = spaceOf(model, *opening);
    request.space.outside = wanted.space.outside.value_or(request.space.outside);
    request.space.mostBends = wanted.space.mostBends.value_or(request.space.mostBends);
    request.space.clearance = wanted.space.clearance;
    auto found = searchPorts(model, *opening, request);
    if (!found) return fail(found.error());
    report.search = std::move(*found);
    report.straight = straightRun(request.space), report.across = request.space.across;
    const CavityRoom& sizes = request.space.empty;
    if (!(sizes.width > 0 || sizes.breadth > 0)) report.across = acrossRun(request.space);
    report.aims = request.aims;
    report.band = request.band;
    return {};
}

Result<void> addTrim(HousingPorts& report, const Model& model, const PortWanted& wanted)
{
    const auto opening = portMeant(model, wanted);
    if (!opening) return fail(opening.error());
    const PortOpening& port = *portAt(model, *opening);
    report.readings = wanted.trim->readings;
    if (report.readings.empty()) {
        report.readings = cutReadings(port);
        report.readingsOfFile = true;
        const std::string where = fmt::format("openings/{}", *opening);
        if (report.readings.empty())
            return fail(where, "--trim needs what was measured, and the file holds no readings of this port; give "
                               "--measured LENGTH=HZ, such as 210=58.2+-0.3, the present length last");
        if (port.readings.back().frequency == 0)
            return fail(where,
                        fmt::format("the port was cut to {} and that has not been measured yet; do, or give --measured",
                                    formatQuantity(port.readings.back().length, Dimension::length)));
    }
    const auto plan = trimPlan({tuningOfCut(model, *opening), dipOfCut(model, *opening)}, wanted.trim->target,
                               report.readings, trimOptions(port, wanted.trim->volumeUncertainty));
    if (!plan) return fail(fmt::format("openings/{}", *opening), plan.error().message);
    report.trim = *plan;
    report.trimTarget = wanted.trim->target;
    return {};
}

// What is made, and of what.
struct Making {
    Housing housing;
    std::optional<int> opening;  // all ports where not given
    std::string words, material;
};

std::string portWords(const Housing& housing, int opening)
{
    const int number = numberOf(housing, opening);
    return number == opening + 1 ? fmt::format("port {}", number)
                                 : fmt::format("port {} (opening {})", number, opening + 1);
}

// As sized, the one taken of the search, or as it is.
Result<Making> makingOf(const HousingPorts& report, const Model& model, const PortWanted& wanted)
{
    auto opening = openingMeant(model, wanted);
    if (!opening) return fail(opening.error());
    if (report.search && inSecond(model.housing, *opening)) opening = -1;
    Making making{model.housing, wanted.opening, "the ports as the file has them", {}};
    const auto with = [&](const PortOpening& port) {
        making.housing = withPort(model, *opening, spaceOf(model, *opening), port).housing;
        making.opening = *opening < 0 ? int(making.housing.openings.size()) - 1 : *opening;
        if (!report.search) return;  // else its legs keep to the run that was searched
        auto& room = cavityOf(making.housing, *making.opening).roomForPort;
        if (!room) room.emplace();
        room->straight = report.straight, room->across = report.across;
    };
    if (report.sized) {
        with(report.sized->port);
        making.words = fmt::format("{}, {} long", portWords(model.housing, *opening),
                                   formatQuantity(report.sized->port.length, Dimension::length));
    } else if (report.search) {
        const auto& ranked = report.search->ranked;
        if (ranked.empty())
            return fail("openings", "nothing fits, so there are no parts to make; --search without --parts tells why");
        if (wanted.take > ranked.size())
            return fail("openings", fmt::format("the search shows {} ports that fit, and --take is {}; name one of "
                                                "them, or raise --show",
                                                ranked.size(), wanted.take));
        const FoundPort& found = ranked[wanted.take - 1];
        with(found.port);
        making.words = fmt::format("number {} of the search: {}", wanted.take, found.words);
        making.material = found.material;
    } else if (*opening >= 0 && (wanted.opening || report.ports.size() == 1)) {
        making.words = portWords(model.housing, *opening) + " as the file has it";
    }
    return making;
}

// The longest piece of what a port is made of, 0: the table names none; nothing: the table has no such thing.
std::optional<std::pair<std::string, double>> pieceFor(const PortOpening& port, const std::string& material,
                                                       const PortStock& stock)
{
    constexpr double same = 0.5e-3;  // m
    const auto alike = [](double a, double b) { return std::abs(a - b) <= same; };
    const double wall = port.wall.value_or(0);
    for (const StockTube& t : stock.tubes)
        if (port.shape == PortShape::round && alike(t.bore, port.diameter) && (!(wall > 0) || alike(t.wall, wall)) &&
            (material.empty() || material == t.name))
            return std::pair{t.name, t.longest};
    for (const StockSlot& p : stock.slotShapes)
        if (port.shape == PortShape::slot && (material.empty() ? wall > 0 && alike(p.wall, wall) : material == p.name))
            return std::pair{p.name, p.longest};
    return std::nullopt;
}

// Cut lists are planned on the pieces that the stock has.
PartOptions optionsFor(const Making& making, const PortWanted& wanted, std::vector<std::string>& remarks)
{
    PartOptions options = wanted.partOptions;
    std::optional<PortStock> stock = wanted.stock;
    if (wanted.search && !stock) stock = wanted.search->stock;
    if (!stock) return options;
    for (int i = 0; i < int(making.housing.openings.size()); ++i) {
        const auto* port = std::get_if<PortOpening>(&making.housing.openings[std::size_t(i)].kind);
        if (!port || i != making.opening.value_or(i)) continue;
        const auto piece = pieceFor(*port, making.material, *stock);
        auto& bars = port->shape == PortShape::round ? options.tubeStock : options.panelStock;
        const std::string what = port->shape == PortShape::round ? "tube of that bore and wall" : "such a panel";
        if (piece && piece->second > 0)
            bars = {{piece->second, {}}};
        else
            remarks.push_back((piece ? fmt::format("The stock names no longest piece of {}", piece->first)
                                     : "The stock has no " + what) +
                              fmt::format(": the cut list is planned on pieces of {}.",
                                          formatQuantity(bars.front().length, Dimension::length)));
    }
    return options;
}

void addWarnings(HousingPorts& report, const std::filesystem::path& folder, const FolderBefore& before)
{
    const auto list = [](const std::vector<std::string>& names) {
        std::string text;
        for (const std::string& name : names)
            text += (text.empty() ? "" : ", ") + name;
        return text;
    };
    if (!before.replaced.empty())
        report.warnings.push_back(fmt::format("{}: files of these names were there and have been replaced: {}",
                                              folder.string(), list(before.replaced)));
    if (!before.leftOver.empty())
        report.warnings.push_back(fmt::format("{}: these are of an earlier set and do not belong to it: {}",
                                              folder.string(), list(before.leftOver)));
}

Result<void> addParts(HousingPorts& report, const Model& model, const PortWanted& wanted,
                      const PaintTemplates& paintTemplates, const std::string& job)
{
    const auto making = makingOf(report, model, wanted);
    if (!making) return fail(making.error());
    auto parts = partsOf(making->housing, optionsFor(*making, wanted, report.remarks), making->opening, job);
    if (!parts) return fail(parts.error());
    if (paintTemplates) {
        auto pdfs = paintTemplates(parts->templates, wanted.paper);
        if (!pdfs) return fail(pdfs.error());
        std::move(pdfs->begin(), pdfs->end(), std::back_inserter(parts->files));
    }
    report.made = making->words;
    report.remarks.insert(report.remarks.end(), parts->remarks.begin(), parts->remarks.end());
    report.files = std::move(parts->files);
    return {};
}

// Errors: of the folder, not of the project.
Result<void> write(HousingPorts& report, const std::filesystem::path& folder)
{
    const FolderBefore before = folderBefore(folder, report.files);
    auto written = writeParts(folder, report.files);
    if (!written) return fail(written.error());
    report.written = std::move(*written);
    addWarnings(report, folder, before);
    return {};
}

// What is typed stands before what the file holds.
void putTyped(std::optional<RoomForPort>& room, const RoomForPort& typed)
{
    if (typed == RoomForPort{}) return;
    if (!room) room.emplace();
    for (auto size : {&RoomForPort::straight, &RoomForPort::across, &RoomForPort::mouthWidth, &RoomForPort::mouthHeight,
                      &RoomForPort::wall})
        if (typed.*size) (*room).*size = typed.*size;
}

Result<HousingPorts> reportOf(const Project& project, std::size_t index, const PortWanted& wanted,
                              const PaintTemplates& paintTemplates)
{
    auto model = modelOf(project, index);
    if (!model) return fail(model.error());
    HousingPorts report;
    report.id = project.housings[index].id, report.name = project.housings[index].name;
    const auto opening = openingMeant(*model, wanted);
    if (!opening) return fail(opening.error());
    putTyped(cavityOf(model->housing, *opening).roomForPort, wanted.space.room);
    auto ports = portsOf(*model, wanted);
    if (!ports) return fail(ports.error());
    report.ports = std::move(*ports);
    report.place = alignmentPlace(*model);
    Result<void> ok;
    if (wanted.tune || wanted.length) ok = addSized(report, *model, wanted);
    if (ok && wanted.search) ok = addSearch(report, *model, wanted);
    if (ok && wanted.trim) ok = addTrim(report, *model, wanted);
    if (ok && wanted.loudness) {
        auto loudness = portLoudnessOf(*model);
        if (!loudness) return fail(loudness.error());
        report.loudness = std::move(*loudness);
    }
    if (ok && wanted.parts) ok = addParts(report, *model, wanted, paintTemplates, project.title);
    if (!ok) return fail(ok.error());
    return report;
}

}  // namespace

int numberOf(const Housing& housing, int opening)
{
    int number = 0;
    for (int i = 0; i <= opening; ++i)
        number += std::holds_alternative<PortOpening>(housing.openings[std::size_t(i)].kind) ? 1 : 0;
    return number;
}

Result<std::vector<HousingPorts>> portReport(const std::string& file, const Project& project, PortWanted wanted,
                                             const PaintTemplates& paintTemplates)
{
    if (wanted.stockFile) {
        auto stock = stockOf(*wanted.stockFile);
        if (!stock) return fail(stock.error());
        if (wanted.search) wanted.search->stock = *stock;
        wanted.stock = std::move(*stock);
    }
    const auto indices = housingsNamed(project, wanted.housings);
    if (!indices) return fail(file + ", " + indices.error().field, indices.error().message);
    if (wanted.forOne() && indices->size() > 1) {
        std::string ids;
        for (std::size_t index : *indices)
            ids += (ids.empty() ? "" : ", ") + project.housings[index].id;
        return fail(file + ", /housings",
                    fmt::format("there are {} housings here; name one with --housing: {}", indices->size(), ids));
    }
    std::vector<HousingPorts> all;
    for (std::size_t index : *indices) {
        auto report = reportOf(project, index, wanted, paintTemplates);
        if (!report) return fail(file + ", " + inHousing(report.error(), index).field, report.error().message);
        if (wanted.parts)
            if (auto ok = write(*report, *wanted.parts); !ok) return fail(ok.error());
        all.push_back(std::move(*report));
    }
    return all;
}

}  // namespace portwright::console
