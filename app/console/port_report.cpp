// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/port_report.h"

#include "app/console/solved.h"
#include "core/document/json_text.h"
#include "core/parts/part_set.h"
#include "core/port/air_speed.h"
#include "core/port/sizing.h"
#include "core/response/summary.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <sstream>

namespace portwright::console {

namespace {

bool inMain(const Opening& o) { return o.cavity.value_or(CavityId::main) == CavityId::main; }

const PortOpening* portAt(const Model& model, int opening)
{
    if (opening < 0 || opening >= int(model.housing.openings.size())) return nullptr;
    const Opening& o = model.housing.openings[std::size_t(opening)];
    return inMain(o) ? std::get_if<PortOpening>(&o.kind) : nullptr;
}

// The first port of the main cavity, -1 without one.
int firstPort(const Model& model)
{
    for (int i = 0; i < int(model.housing.openings.size()); ++i)
        if (portAt(model, i)) return i;
    return -1;
}

// The one that is meant: named, or the first. -1: none there, and none named.
Result<int> openingMeant(const Model& model, const PortWanted& wanted)
{
    if (!wanted.opening) return firstPort(model);
    if (portAt(model, *wanted.opening)) return *wanted.opening;
    return fail("openings", fmt::format("opening {} is no port of the main cavity; the housing has {} {}",
                                        *wanted.opening + 1, model.housing.openings.size(),
                                        model.housing.openings.size() == 1 ? "opening" : "openings"));
}

Result<int> portMeant(const Model& model, const PortWanted& wanted)
{
    const auto opening = openingMeant(model, wanted);
    if (!opening || *opening >= 0) return opening;
    return fail("openings", "the housing has no port to size; --search looks for one");
}

PortFigures figuresOf(const Model& model, int opening, const PortOpening& port, const SizedPort& sized,
                      double tolerance)
{
    const PortSpace space = spaceOf(model, opening);
    CavityRoom room = roomOf(model.housing.cavity);
    PortFigures f;
    f.opening = opening;
    f.port = port;
    f.taken = outlineVolume(port);
    f.left = room.netVolume = space.empty.netVolume - f.taken;
    f.tuning = sized.tuning;
    f.textbook = tuningsOf(port, room, model.air).textbook;
    f.perLength = sized.tuningPerLength;
    f.spread = tuningSpread(sized, tolerance);
    if (!port.classical && model.housing.cavity.measurements.empty())
        f.assumedShape = assumedShapeSpread(port, room, model.air);
    f.airLimit = recommendedAirSpeed(port);
    return f;
}

Result<std::vector<PortFigures>> portsOf(const Model& model, double tolerance)
{
    std::vector<PortFigures> all;
    for (int i = 0; i < int(model.housing.openings.size()); ++i) {
        const PortOpening* port = portAt(model, i);
        if (!port) continue;
        const auto sized = tuningAt(port->length, tuningOfCut(model, i));
        if (!sized) return fail(fmt::format("openings/{}", i), sized.error().message);
        all.push_back(figuresOf(model, i, *port, *sized, tolerance));
    }
    return all;
}

Result<void> addSized(HousingPorts& report, const Model& model, const PortWanted& wanted)
{
    const auto opening = portMeant(model, wanted);
    if (!opening) return tl::unexpected(opening.error());
    const TuningOfCut cut = tuningOfCut(model, *opening);
    const auto sized = wanted.tune ? lengthFor(*wanted.tune, cut) : tuningAt(*wanted.length, cut);
    if (!sized) return fail(fmt::format("openings/{}", *opening), sized.error().message);
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
    const auto opening = openingMeant(model, wanted);
    if (!opening) return tl::unexpected(opening.error());
    SearchRequest request = *wanted.search;
    if (wanted.stockFile) {
        auto stock = stockOf(*wanted.stockFile);
        if (!stock) return tl::unexpected(stock.error());
        request.stock = std::move(*stock);
    }
    request.space.empty = spaceOf(model, *opening).empty;
    auto found = searchPorts(model, *opening, request);
    if (!found) return tl::unexpected(found.error());
    report.search = std::move(*found);
    report.aims = request.aims;
    report.band = request.band;
    return {};
}

Result<void> addTrim(HousingPorts& report, const Model& model, const PortWanted& wanted)
{
    const auto opening = portMeant(model, wanted);
    if (!opening) return tl::unexpected(opening.error());
    const auto plan = trimPlan(tuningOfCut(model, *opening), wanted.trim->target, wanted.trim->readings,
                               trimOptions(*portAt(model, *opening), wanted.trim->volumeUncertainty));
    if (!plan) return fail(fmt::format("openings/{}", *opening), plan.error().message);
    report.trim = *plan;
    report.trimTarget = wanted.trim->target;
    return {};
}

// The housing whose port is made: as sized, the best of the search, or as it is.
Result<Housing> housingToMake(const HousingPorts& report, const Model& model, const PortWanted& wanted)
{
    const auto opening = openingMeant(model, wanted);
    if (!opening) return tl::unexpected(opening.error());
    std::optional<PortOpening> port;
    if (report.sized) port = report.sized->port;
    if (report.search) {
        if (report.search->ranked.empty()) return fail("openings", "nothing fits, so there are no parts to make");
        port = report.search->ranked.front().port;
    }
    return port ? withPort(model, *opening, spaceOf(model, *opening), *port).housing : model.housing;
}

Result<void> addParts(HousingPorts& report, const Model& model, const PortWanted& wanted,
                      const PaintTemplates& paintTemplates)
{
    const auto housing = housingToMake(report, model, wanted);
    if (!housing) return tl::unexpected(housing.error());
    auto parts = partsOf(*housing, wanted.partOptions);
    if (!parts) return tl::unexpected(parts.error());
    if (paintTemplates) {
        auto pdfs = paintTemplates(parts->templates, wanted.paper);
        if (!pdfs) return tl::unexpected(pdfs.error());
        std::move(pdfs->begin(), pdfs->end(), std::back_inserter(parts->files));
    }
    auto written = writeParts(*wanted.parts, parts->files);
    if (!written) return tl::unexpected(written.error());
    report.written = std::move(*written);
    report.remarks = parts->remarks;
    return {};
}

Result<HousingPorts> reportOf(const Project& project, std::size_t index, const PortWanted& wanted,
                              const PaintTemplates& paintTemplates)
{
    const auto model = modelOf(project, index);
    if (!model) return tl::unexpected(model.error());
    HousingPorts report;
    report.id = project.housings[index].id, report.name = project.housings[index].name;
    auto ports = portsOf(*model, wanted.tolerance);
    if (!ports) return tl::unexpected(ports.error());
    report.ports = std::move(*ports);
    report.place = alignmentPlace(*model, model->kind == SystemKind::vented ? tuningOf(*model) : std::nullopt);
    Result<void> ok;
    if (wanted.tune || wanted.length) ok = addSized(report, *model, wanted);
    if (ok && wanted.search) ok = addSearch(report, *model, wanted);
    if (ok && wanted.trim) ok = addTrim(report, *model, wanted);
    if (ok && wanted.parts) ok = addParts(report, *model, wanted, paintTemplates);
    if (!ok) return tl::unexpected(ok.error());
    return report;
}

// Of a place in the project, not of a file.
bool isOfProject(const Error& error, const PortWanted& wanted)
{
    if (wanted.stockFile && error.field.starts_with(*wanted.stockFile)) return false;
    return !(wanted.parts && error.field.starts_with(wanted.parts->string()));
}

}  // namespace

Result<std::vector<HousingPorts>> portReport(const std::string& file, const Project& project, const PortWanted& wanted,
                                             const PaintTemplates& paintTemplates)
{
    const auto indices = housingsNamed(project, wanted.housings);
    if (!indices) return fail(file + ", " + indices.error().field, indices.error().message);
    if (wanted.forOne() && indices->size() > 1)
        return fail(file + ", /housings",
                    fmt::format("there are {} housings here; name one with --housing", indices->size()));
    std::vector<HousingPorts> all;
    for (std::size_t index : *indices) {
        auto report = reportOf(project, index, wanted, paintTemplates);
        if (report)
            all.push_back(std::move(*report));
        else if (!isOfProject(report.error(), wanted))
            return tl::unexpected(report.error());
        else
            return fail(file + ", " + inHousing(report.error(), index).field, report.error().message);
    }
    return all;
}

}  // namespace portwright::console
