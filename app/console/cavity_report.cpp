// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/cavity_report.h"

#include "app/console/command.h"

#include "app/console/solved.h"
#include "core/cavity/fill.h"
#include "core/cavity/fill_csv.h"
#include "core/cavity/sections.h"
#include "core/cavity/sections_csv.h"
#include "core/document/json_text.h"
#include "core/document/project_file.h"
#include "core/network/grid.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <iterator>

namespace portwright::console {

namespace {

constexpr std::uintmax_t largestTable = 4'000'000;  // bytes; a table typed or exported is far smaller

std::string suffixOf(const std::string& file)
{
    std::string suffix = std::filesystem::path(file).extension().string();
    std::transform(suffix.begin(), suffix.end(), suffix.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return suffix;
}

Result<std::string> tableIn(const std::string& file)
{
    std::error_code problem;
    if (!std::filesystem::is_regular_file(file, problem))
        return fail(file, std::filesystem::exists(file, problem) ? "this is no file" : "there is no such file");
    const auto size = std::filesystem::file_size(file, problem);
    if (size > largestTable)
        return fail(file, fmt::format("the table has {} bytes; at most {} are read", size, largestTable));
    std::ifstream in(file, std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(in), {}};
    if (!in || text.size() != size) return fail(file, "the file cannot be read");
    return text;
}

CavityReport reportOf(CavitySource source, VolumeReading reading)
{
    CavityReport report;
    report.source = source;
    report.volume = reading.volume;
    report.uncertainty = reading.uncertainty;
    report.warnings = std::move(reading.remarks);
    return report;
}

Result<CavityReport> scanReport(const std::string& file, const CavityOptions& options, std::optional<double> otherwise)
{
    auto scan = readScan(file, {.unit = options.unit, .wall = options.wall, .otherwise = otherwise});
    if (!scan) return fail(inFile(file, scan.error()));
    CavityReport report;
    report.source = CavitySource::scan;
    report.volume = scan->volume;
    report.uncertainty = scan->uncertainty;
    report.profile = scan->profile;
    report.warnings = scan->remarks;
    scan->mesh = {};
    report.scan = std::move(*scan);
    return report;
}

// The first line that is no remark names the columns.
struct Header {
    std::size_t number = 1;
    std::string line;
    bool has(const char* column) const { return line.find(column) != std::string::npos; }
};

Header headerOf(const std::string& text)
{
    Header header;
    std::size_t at = 0;
    for (; at < text.size() && (text[at] == '#' || text[at] == '\n' || text[at] == '\r'); ++header.number) {
        const std::size_t end = text.find('\n', at);
        at = end == std::string::npos ? text.size() : end + 1;
    }
    header.line = text.substr(at, text.find('\n', at) - at);
    return header;
}

Result<CavityReport> tableReport(const std::string& file)
{
    const auto text = tableIn(file);
    if (!text) return fail(text.error());
    const Header header = headerOf(*text);
    if (!header.line.empty() && !header.has("medium") && !header.has("reading") && !header.has("at_mm") &&
        !header.has("shape"))
        return fail(fmt::format("{}, line {}", file, header.number),
                    "the columns are those of neither table; a table of sections begins with "
                    "at_mm,shape,width_mm,height_mm, a fill with medium,reading,unit");
    if (header.has("medium") || header.has("reading")) {
        const auto fill = parseFillCsv(*text);
        if (!fill) return fail(inFile(file, fill.error()));
        auto reading = readingOf(*fill);
        if (!reading) return fail(inFile(file, reading.error()));
        return reportOf(CavitySource::fill, std::move(*reading));
    }
    auto sections = parseSectionsCsv(*text);
    if (!sections) return fail(inFile(file, sections.error()));
    SectionsMeasurement measurement;
    measurement.sections = std::move(*sections);
    auto volume = sectionsVolume(measurement);
    if (!volume) return fail(inFile(file, volume.error()));
    CavityReport report = reportOf(CavitySource::sections, std::move(volume->reading));
    report.profile = std::move(volume->profile);
    return report;
}

Result<CavityReport> netReport(const Housing& housing, const Cavity& cavity, const CavityContext& context)
{
    auto net = netVolumeOf(cavity, context);
    if (!net) return fail(net.error());
    CavityReport report;
    report.source = CavitySource::project;
    report.housing = housing.id;
    report.housingName = housing.name;
    report.cavity = context.cavity == CavityId::main ? "main" : "second";
    report.volume = net->value;
    report.uncertainty = net->uncertainty;
    report.profile = profileOf(cavity);
    report.warnings = net->remarks;
    report.net = std::move(*net);
    return report;
}

Result<CavityMeaning> meaningOf(const Project& project, std::size_t housing)
{
    const auto model = modelOf(project, housing);
    if (!model) return fail(model.error());
    auto uncertainty = uncertaintyOf(project, housing, logGrid(20, 500, 2));
    if (!uncertainty) return fail(uncertainty.error());
    return CavityMeaning{std::move(*uncertainty), modelChoice(*model), leftOutOfRanges(*model)};
}

// A housing that cannot be reckoned (no port fits, say) still has a cavity to tell of.
void addMeaning(CavityReport& report, const Project& project, std::size_t housing)
{
    auto meaning = meaningOf(project, housing);
    if (meaning)
        report.meaning = std::move(*meaning);
    else
        report.warnings.push_back(fmt::format("The housing cannot be reckoned, so what the volume means for it is not "
                                              "told: {}: {}.",
                                              inHousing(meaning.error(), housing).field, meaning.error().message));
}

Result<CavityFile> projectReport(const std::string& file)
{
    auto loaded = readProject(file);
    if (!loaded) return fail(loaded.error());
    const Project& project = loaded->project;
    const auto air = airAt(project.air.value_or(AirConditions{}));
    if (!air) return fail(file + ", /air/" + air.error().field, air.error().message);
    CavityFile found{file, {}, loaded->warnings};
    for (std::size_t i = 0; i < project.housings.size(); ++i) {
        const Housing& housing = project.housings[i];
        const std::string at = fmt::format("/housings/{}", i);
        const DriverSheet* sheet = findDriver(project, housing.driver);
        if (!sheet)
            return fail(fmt::format("{}, {}/driver", file, at),
                        "there is no driver " + quotedText(housing.driver) + " here");
        const auto driver = complete(*sheet);
        if (!driver)
            return fail(fmt::format("{}, /drivers/{}/{}", file, sheet - project.drivers.data(), driver.error().field),
                        driver.error().message);
        const auto add = [&](const Cavity& cavity, CavityId id, const char* key) -> Result<void> {
            auto report = netReport(housing, cavity, {housing, *driver, *air, id});
            if (!report)
                return fail(fmt::format("{}, {}/{}/{}", file, at, key, report.error().field), report.error().message);
            found.cavities.push_back(std::move(*report));
            return {};
        };
        if (auto added = add(housing.cavity, CavityId::main, "cavity"); !added) return fail(added.error());
        addMeaning(found.cavities.back(), project, i);
        if (housing.secondCavity)
            if (auto added = add(housing.secondCavity->cavity, CavityId::second, "second_cavity"); !added)
                return fail(added.error());
    }
    if (found.cavities.empty())
        return fail(file + ", /housings", "the project has no housing, so there is no cavity to tell of");
    return found;
}

bool isScan(const std::string& file)
{
    const std::string suffix = suffixOf(file);
    return suffix == ".stl" || suffix == ".obj" || suffix == ".ply";
}

Result<CavityFile> cavityReport(const std::string& file, const CavityOptions& options, std::optional<double> otherwise)
{
    const std::string suffix = suffixOf(file);
    if (suffix == ".portwright") return projectReport(file);
    Result<CavityReport> one =
        fail(file, "its name ends neither in .stl, .obj, .ply (a scan), .csv (sections or a fill) nor .portwright");
    if (isScan(file)) one = scanReport(file, options, otherwise);
    if (suffix == ".csv") one = tableReport(file);
    return std::move(one).transform([&](CavityReport&& report) {
        CavityFile found{file, {}, {}};
        found.cavities.push_back(std::move(report));
        return found;
    });
}

std::vector<VolumeEstimate> bareShells(const std::vector<CavityFile>& files)
{
    std::vector<VolumeEstimate> estimates;
    for (const CavityFile& file : files)
        for (const CavityReport& report : file.cavities)
            if (report.source != CavitySource::project)
                estimates.push_back({file.file, report.volume, *report.uncertainty});
    return estimates;
}

void warnOfUnused(CavityFile& found, const CavityOptions& options)
{
    for (const auto& [given, name] :
         {std::pair{options.unit.has_value(), "--unit"}, {options.wall.has_value(), "--wall"}})
        if (given) found.fileWarnings.push_back({name, "it is for scans (.stl, .obj, .ply) and is passed over here"});
}

}  // namespace

Result<std::vector<CavityFile>> cavityReports(const std::vector<std::string>& files, const CavityOptions& options)
{
    std::vector<CavityFile> found(files.size());
    std::optional<double> otherwise;
    for (const bool scans : {false, true}) {
        for (std::size_t i = 0; i < files.size(); ++i) {
            if (isScan(files[i]) != scans) continue;
            auto report = cavityReport(files[i], options, otherwise);
            if (!report) return fail(report.error());
            found[i] = std::move(*report);
            if (!scans) warnOfUnused(found[i], options);
        }
        if (const auto tables = bareShells(found); !scans && !tables.empty()) otherwise = combined(tables).volume;
    }
    return found;
}

std::optional<CombinedVolume> togetherOf(const std::vector<CavityFile>& files)
{
    const std::vector<VolumeEstimate> estimates = bareShells(files);
    if (estimates.size() < 2) return std::nullopt;
    return combined(estimates);
}

std::string nameOf(CavitySource source)
{
    switch (source) {
    case CavitySource::scan:
        return "scan";
    case CavitySource::sections:
        return "sections";
    case CavitySource::fill:
        return "fill";
    case CavitySource::project:
        return "project";
    }
    return {};
}

}  // namespace portwright::console
