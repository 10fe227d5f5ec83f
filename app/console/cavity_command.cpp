// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/command.h"

#include "app/console/cavity_report.h"
#include "core/document/json_text.h"
#include "core/quantity/quantity.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <memory>

namespace portwright::console {

namespace {

struct CavityCommandOptions {
    std::vector<std::string> files;
    std::string unit, wall, format = "text";
};

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
        for (const Error& warning : file.fileWarnings)
            streams.warn(fmt::format("{}, {}: {}", file.file, warning.field, warning.message));
    return streams.print(options.format == "json" ? cavityJson(*files) : cavityText(*files));
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

}  // namespace

Command cavityCommand(CLI::App& app)
{
    CLI::App* command =
        app.add_subcommand("cavity", "Volume, uncertainty and shape of a cavity, from what was measured of it");
    const auto options = std::make_shared<CavityCommandOptions>();
    command
        ->add_option(
            "FILE", options->files,
            "Scan (.stl, .obj, .ply), table of sections or readings of a fill (.csv), or project (.portwright)")
        ->required()
        ->type_name("");
    command->footer(tablesHelp);
    command
        ->add_option("--unit", options->unit,
                     "Unit of the scans: " + lengthUnits() + ", or the word written out; guessed where not given")
        ->type_name("UNIT");
    command
        ->add_option("--wall", options->wall,
                     "The scans are of the outside, of a wall this thick, mm if no unit is given")
        ->type_name("LENGTH");
    addFormat(*command, options->format, {"text", "json"});
    return {command, [options](const Streams& streams) { return runCavity(*options, streams); }};
}

}  // namespace portwright::console
