// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/command.h"

#include "app/console/compare_output.h"

#include <CLI/CLI.hpp>
#include <memory>

namespace portwright::console {

namespace {

struct CompareOptions {
    std::string project, format = "text";
};

ExitCode runCompare(const CompareOptions& options, const Streams& streams)
{
    const auto project = opened(options.project, streams);
    if (!project) return streams.refuse(project.error());
    const auto comparison = comparisonOf(*project);
    if (!comparison) return streams.refuse(inFile(options.project, comparison.error()));
    if (options.format == "json") return streams.print(compareJson(*comparison));
    return streams.print(options.format == "csv" ? compareCsv(*comparison) : compareText(*comparison));
}

}  // namespace

Command compareCommand(CLI::App& app)
{
    CLI::App* command =
        app.add_subcommand("compare", "Compare the housings: tuning, levels, limits, verdicts, cautions");
    const auto options = std::make_shared<CompareOptions>();
    addProject(*command, options->project);
    addFormat(*command, options->format, {"text", "json", "csv"});
    return {command, [options](const Streams& streams) { return runCompare(*options, streams); }};
}

}  // namespace portwright::console
