// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/run.h"

#include "app/console/cavity_report.h"
#include "app/console/compare_output.h"
#include "app/console/plain_text.h"
#include "app/console/port_report.h"
#include "app/console/solve_output.h"
#include "app/console/why_output.h"
#include "core/document/project_file.h"
#include "core/document/whole_file.h"
#include "core/quantity/quantity.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <ostream>

namespace portwright::console {

namespace {

constexpr const char* programName = "portwright-cli";

struct SolveOptions {
    std::string project, from = "10", to = "2000", points = "400", format = "json";
    std::vector<std::string> housings;
};
struct CompareOptions {
    std::string project, format = "text";
};
struct ChartOptions {
    std::string project, output, size = "1600x1131";
    std::vector<std::string> housings;
};

struct WhyOptions {
    std::string project, at = "63", format = "text";
    std::vector<std::string> housings;
};

struct CavityCommandOptions {
    std::vector<std::string> files;
    std::string unit, wall, format = "text";
};

/// The two streams, and how a command ends.
struct Streams {
    std::ostream& out;
    std::ostream& err;

    ExitCode print(const std::string& text) const
    {
        out << text << std::flush;
        if (out) return done;
        err << programName << ": the results could not be written to standard output; the disk may be full\n";
        return wrongInput;
    }
    ExitCode refuse(const Error& error) const
    {
        err << oneLine(error.field.empty() ? error.message : error.field + ": " + error.message) << "\n";
        return wrongInput;
    }
    ExitCode misuse(const std::string& message, const std::string& command = {}) const
    {
        err << programName << ": " << oneLine(message) << " (see " << programName
            << (command.empty() ? "" : " " + command) << " --help)\n";
        return wrongUsage;
    }
};

Error inFile(const std::string& file, Error error)
{
    error.field = error.field.empty() ? file : file + ", " + error.field;
    return error;
}

void warn(const std::string& file, const std::vector<Error>& warnings, const Streams& streams)
{
    for (const Error& warning : warnings)
        streams.err << oneLine(fmt::format("warning: {}, {}: {}", file, warning.field, warning.message)) << "\n";
}

Result<Project> opened(const std::string& file, const Streams& streams)
{
    auto loaded = readProject(file);
    std::error_code problem;
    if (!loaded && std::filesystem::path(file).extension() != ".portwright" &&
        std::filesystem::is_regular_file(file, problem))
        return fail(loaded.error().field, "a project file (.portwright) is wanted here; " + loaded.error().message);
    if (!loaded) return fail(loaded.error());
    warn(file, loaded->warnings, streams);
    return std::move(loaded->project);
}

Result<int> wholeNumber(const std::string& text, int low, int high)
{
    int value = 0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (problem != std::errc() || end != text.data() + text.size() || value < low || value > high)
        return fail("", fmt::format("{} is no whole number from {} to {}", quotedText(text), low, high));
    return value;
}

Result<double> hertz(const char* name, const std::string& text)
{
    constexpr double lowest = 0.1, highest = 100000;  // Hz
    const auto value = parseQuantity(text, Dimension::frequency, UnitSystem::metric);
    if (!value) return fail("", fmt::format("{}: {}", name, value.error().message));
    if (*value < lowest || *value > highest)
        return fail("", fmt::format("{} is {} Hz; allowed is {} to {} Hz", name, *value, lowest, highest));
    return *value;
}

Result<Grid> gridFrom(const SolveOptions& options)
{
    const auto from = hertz("--from", options.from);
    if (!from) return fail(from.error());
    const auto to = hertz("--to", options.to);
    if (!to) return fail(to.error());
    const auto points = wholeNumber(options.points, 1, 100000);
    if (!points) return fail("", "--points: " + points.error().message);
    if (*from > *to || (*from == *to && *points > 1))
        return fail("", fmt::format("--from is {} Hz, --to {} Hz; --from must be below --to, or equal with --points 1",
                                    *from, *to));
    if (*points == 1 && *from < *to)
        return fail(
            "", fmt::format("--points is 1 between {} and {} Hz; one point needs --from and --to equal", *from, *to));
    return logGrid(*from, *to, *points);
}

ExitCode runSolve(const SolveOptions& options, const Streams& streams)
{
    const auto grid = gridFrom(options);
    if (!grid) return streams.misuse(grid.error().message, "solve");
    const auto project = opened(options.project, streams);
    if (!project) return streams.refuse(project.error());
    const auto indices = housingsNamed(*project, options.housings);
    if (!indices) return streams.refuse(inFile(options.project, indices.error()));
    const auto housings = solveHousings(*project, *indices, *grid);
    if (!housings) return streams.refuse(inFile(options.project, housings.error()));
    return streams.print(options.format == "csv" ? solveCsv(*housings, *grid) : solveJson(*housings, *grid));
}

ExitCode runCompare(const CompareOptions& options, const Streams& streams)
{
    const auto project = opened(options.project, streams);
    if (!project) return streams.refuse(project.error());
    const auto comparison = comparisonOf(*project);
    if (!comparison) return streams.refuse(inFile(options.project, comparison.error()));
    if (options.format == "json") return streams.print(compareJson(*comparison));
    return streams.print(options.format == "csv" ? compareCsv(*comparison) : compareText(*comparison));
}

ExitCode runWhy(const WhyOptions& options, const Streams& streams)
{
    const auto at = hertz("--at", options.at);
    if (!at) return streams.misuse(at.error().message, "why");
    const auto project = opened(options.project, streams);
    if (!project) return streams.refuse(project.error());
    const auto indices = housingsNamed(*project, options.housings);
    if (!indices) return streams.refuse(inFile(options.project, indices.error()));
    const auto ledgers = ledgersOf(*project, *indices, *at);
    if (!ledgers) return streams.refuse(inFile(options.project, ledgers.error()));
    return streams.print(options.format == "json" ? whyJson(*ledgers) : whyText(*ledgers));
}

Result<ChartRequest> chartRequest(const ChartOptions& options)
{
    ChartRequest request;
    request.housings = options.housings;
    std::string suffix = std::filesystem::path(options.output).extension().string();
    std::transform(suffix.begin(), suffix.end(), suffix.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    if (suffix == ".png")
        request.format = ImageFormat::png;
    else if (suffix == ".svg")
        request.format = ImageFormat::svg;
    else if (suffix == ".pdf")
        request.format = ImageFormat::pdf;
    else
        return fail(
            "", fmt::format("-o is {}; a name ending in .png, .svg or .pdf is expected", quotedText(options.output)));

    constexpr int least = 400, most = 8000;  // px
    const std::size_t cross = options.size.find('x');
    const auto width = wholeNumber(options.size.substr(0, cross), least, most);
    const auto height = wholeNumber(cross == std::string::npos ? "" : options.size.substr(cross + 1), least, most);
    if (!width || !height)
        return fail("", fmt::format("--size is {}; write it as 1600x1131, each from {} to {}", quotedText(options.size),
                                    least, most));
    request.width = *width;
    request.height = *height;
    return request;
}

ExitCode runChart(const ChartOptions& options, const Streams& streams, const PaintChart& paintChart)
{
    const auto request = chartRequest(options);
    if (!request) return streams.misuse(request.error().message, "chart");
    const auto project = opened(options.project, streams);
    if (!project) return streams.refuse(project.error());
    const auto indices = housingsNamed(*project, options.housings);
    if (!indices) return streams.refuse(inFile(options.project, indices.error()));
    const auto bytes = paintChart(*project, *request);
    if (!bytes) return streams.refuse(inFile(options.project, bytes.error()));
    const auto written = writeWhole(options.output, *bytes);
    return written ? done : streams.refuse(written.error());
}

// "mm, cm, m, in or ft"
std::string lengthUnits()
{
    const auto& units = knownUnits(Dimension::length);
    std::string list;
    for (std::size_t i = 0; i < units.size(); ++i)
        list += (i == 0 ? "" : i + 1 == units.size() ? " or " : ", ") + units[i].name;
    return list;
}

Result<CavityOptions> cavityOptions(const CavityCommandOptions& options)
{
    CavityOptions wanted;
    if (!options.unit.empty()) {
        const auto one = parseQuantity("1 " + options.unit, Dimension::length, UnitSystem::metric);
        if (!one) return fail("", fmt::format("--unit is {}; {} is expected", quotedText(options.unit), lengthUnits()));
        wanted.unit = *one;
    }
    if (!options.wall.empty()) {
        const auto wall = parseQuantity(options.wall, Dimension::length, UnitSystem::metric);
        if (!wall) return fail("", "--wall: " + wall.error().message);
        constexpr double thickest = 0.1;  // m
        if (!(*wall > 0 && *wall <= thickest))
            return fail("", fmt::format("--wall is {} mm; allowed is above 0 to {} mm", *wall * 1e3, thickest * 1e3));
        wanted.wall = *wall;
    }
    return wanted;
}

ExitCode runCavity(const CavityCommandOptions& options, const Streams& streams)
{
    const auto wanted = cavityOptions(options);
    if (!wanted) return streams.misuse(wanted.error().message, "cavity");
    const auto files = cavityReports(options.files, *wanted);
    if (!files) return streams.refuse(files.error());
    for (const CavityFile& file : *files)
        warn(file.file, file.fileWarnings, streams);
    return streams.print(options.format == "json" ? cavityJson(*files) : cavityText(*files));
}

ExitCode runPort(const PortCommandOptions& options, const Streams& streams, const PaintTemplates& paintTemplates)
{
    const auto wanted = portWanted(options);
    if (!wanted) return streams.misuse(wanted.error().message, "port");
    const auto project = opened(options.project, streams);
    if (!project) return streams.refuse(project.error());
    const auto report = portReport(options.project, *project, *wanted, paintTemplates);
    if (!report) return streams.refuse(report.error());
    for (const HousingPorts& housing : *report)
        for (const std::string& warning : housing.warnings)
            streams.err << "warning: " << oneLine(warning) << "\n";
    return streams.print(options.format == "json" ? portJson(*report) : portText(*report));
}

// What the tables of `cavity` hold, by example.
constexpr const char* tablesHelp =
    R"(A table of sections (.csv), along any straight axis; at least two, positions rising:
  at_mm,shape,width_mm,height_mm,corner_mm,area_cm2,points_mm
  0,rounded,150,120,20,,
  90,ellipse,160,130,,,
  180,area,,,,142.5,
  240,outline,,,,,"0 0; 120 0; 60 80"
shape is rectangle, rounded, ellipse, d, triangle, area or outline; what a shape does not use stays
empty, and columns without use may be left out.

Readings of a fill (.csv), one medium a table:
  medium,reading,unit,temperature_c,scale_step_g,residue_ml
  water-weight,6210,g,18,5,20
  water-weight,6.235,kg,,,
medium is water-weight (g, kg, oz, lb), water-volume or dry (L, ml, ft3, in3). Beside medium,
reading and unit these columns may stand, filled once: temperature_c and scale_step_g (by weight),
vessel_step_ml (by volume), residue_ml, packing_pct (dry). What is not given is assumed, and told.

Scans, sections and fills give the bare shell: driver and port still come off it.)";

void addHousings(CLI::App* command, std::vector<std::string>& ids)
{
    command->add_option("--housing", ids, "Only the housing of this id; may be given several times")
        ->type_name("ID")
        ->allow_extra_args(false);
}

void addProject(CLI::App* command, std::string& project)
{
    command->add_option("PROJECT", project, "Project file (.portwright)")->required()->type_name("");
}

}  // namespace

ExitCode run(const std::vector<std::string>& arguments, std::ostream& out, std::ostream& err,
             const PaintChart& paintChart, const PaintTemplates& paintTemplates)
{
    const Streams streams{out, err};
    SolveOptions solve;
    CompareOptions compare;
    ChartOptions chart;
    CavityCommandOptions cavity;
    WhyOptions why;
    PortCommandOptions port;

    CLI::App app("Loudspeaker housings on motorcycles: solves, compares and draws the housings of a project file.",
                 programName);
    app.set_version_flag("--version", std::string(programName) + " " PORTWRIGHT_VERSION);
    app.require_subcommand(1);
    app.footer("Exit status: 0 done, 1 wrong input, 2 wrong usage.");

    CLI::App* solveCommand = app.add_subcommand("solve", "Print the curves of each housing");
    addProject(solveCommand, solve.project);
    addHousings(solveCommand, solve.housings);
    solveCommand->add_option("--from", solve.from, "Lowest frequency, Hz")->type_name("HZ")->capture_default_str();
    solveCommand->add_option("--to", solve.to, "Highest frequency, Hz")->type_name("HZ")->capture_default_str();
    solveCommand->add_option("--points", solve.points, "Points, log-spaced, both ends included")
        ->type_name("N")
        ->capture_default_str();
    solveCommand->add_option("--format", solve.format, "json or csv")
        ->check(CLI::IsMember({"json", "csv"}))
        ->type_name("FORMAT")
        ->capture_default_str();

    CLI::App* compareCommand =
        app.add_subcommand("compare", "Compare the housings: tuning, levels, limits, verdicts, cautions");
    addProject(compareCommand, compare.project);
    compareCommand->add_option("--format", compare.format, "text, json or csv")
        ->check(CLI::IsMember({"text", "json", "csv"}))
        ->type_name("FORMAT")
        ->capture_default_str();

    CLI::App* chartCommand = app.add_subcommand("chart", "Write charts and cuts to a picture; needs no display");
    addProject(chartCommand, chart.project);
    chartCommand->add_option("-o,--output", chart.output, "File to write: .png, .svg or .pdf")
        ->required()
        ->type_name("FILE");
    addHousings(chartCommand, chart.housings);
    chartCommand->add_option("--size", chart.size, "Size in px at 96 to the inch")
        ->type_name("WxH")
        ->capture_default_str();

    CLI::App* cavityCommand =
        app.add_subcommand("cavity", "Volume, uncertainty and shape of a cavity, from what was measured of it");
    cavityCommand
        ->add_option(
            "FILE", cavity.files,
            "Scan (.stl, .obj, .ply), table of sections or readings of a fill (.csv), or project (.portwright)")
        ->required()
        ->type_name("");
    cavityCommand->footer(tablesHelp);
    cavityCommand
        ->add_option("--unit", cavity.unit,
                     "Unit of the scans: " + lengthUnits() + ", or the word written out; guessed where not given")
        ->type_name("UNIT");
    cavityCommand
        ->add_option("--wall", cavity.wall,
                     "The scans are of the outside, of a wall this thick, mm if no unit is given")
        ->type_name("LENGTH");
    cavityCommand->add_option("--format", cavity.format, "text or json")
        ->check(CLI::IsMember({"text", "json"}))
        ->type_name("FORMAT")
        ->capture_default_str();

    CLI::App* whyCommand =
        app.add_subcommand("why", "Where the bass went: an account of decibels from the driver alone to the rider");
    addProject(whyCommand, why.project);
    addHousings(whyCommand, why.housings);
    whyCommand->add_option("--at", why.at, "Frequency, Hz")->type_name("HZ")->capture_default_str();
    whyCommand->add_option("--format", why.format, "text or json")
        ->check(CLI::IsMember({"text", "json"}))
        ->type_name("FORMAT")
        ->capture_default_str();

    CLI::App* portCommand = addPortCommand(app, port);

    const auto names = {"solve", "compare", "chart", "cavity", "why", "port"};
    if (arguments.empty()) return streams.misuse("a command is expected: solve, compare, chart, cavity, why or port");
    if (!arguments[0].starts_with('-') && std::find(names.begin(), names.end(), arguments[0]) == names.end())
        return streams.misuse(fmt::format(
            "there is no command {}; there are solve, compare, chart, cavity, why and port", quotedText(arguments[0])));
    try {
        std::vector<std::string> apart = readingsApart(arguments);
        std::reverse(apart.begin(), apart.end());  // the parser takes them from the end
        app.parse(std::move(apart));
    } catch (const CLI::CallForHelp&) {
        return streams.print(app.help());
    } catch (const CLI::CallForAllHelp&) {
        return streams.print(app.help("", CLI::AppFormatMode::All));
    } catch (const CLI::CallForVersion& version) {
        return streams.print(std::string(version.what()) + "\n");
    } catch (const CLI::ParseError& problem) {
        return streams.misuse(problem.what(), arguments[0].starts_with('-') ? "" : arguments[0]);
    }
    if (*solveCommand) return runSolve(solve, streams);
    if (*compareCommand) return runCompare(compare, streams);
    if (*cavityCommand) return runCavity(cavity, streams);
    if (*whyCommand) return runWhy(why, streams);
    if (*portCommand) return runPort(port, streams, paintTemplates);
    return runChart(chart, streams, paintChart);
}

}  // namespace portwright::console
