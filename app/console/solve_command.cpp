// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/command.h"

#include "app/console/solve_output.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <memory>

namespace portwright::console {

namespace {

struct SolveOptions {
    std::string project, from = "10", to = "2000", points = "400", format = "json";
    std::vector<std::string> housings;
};

Result<Grid> gridFrom(const SolveOptions& options)
{
    const auto from = frequencyFrom("--from", options.from);
    if (!from) return fail(from.error());
    const auto to = frequencyFrom("--to", options.to);
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

}  // namespace

Command solveCommand(CLI::App& app)
{
    CLI::App* command = app.add_subcommand("solve", "Print the curves of each housing");
    const auto options = std::make_shared<SolveOptions>();
    addProject(*command, options->project);
    addHousings(*command, options->housings);
    command->add_option("--from", options->from, "Lowest frequency, Hz")->type_name("HZ")->capture_default_str();
    command->add_option("--to", options->to, "Highest frequency, Hz")->type_name("HZ")->capture_default_str();
    command->add_option("--points", options->points, "Points, log-spaced, both ends included")
        ->type_name("N")
        ->capture_default_str();
    addFormat(*command, options->format, {"json", "csv"});
    return {command, [options](const Streams& streams) { return runSolve(*options, streams); }};
}

}  // namespace portwright::console
