// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/command.h"

#include "app/console/solved.h"
#include "app/console/why_output.h"

#include <CLI/CLI.hpp>
#include <memory>

namespace portwright::console {

namespace {

struct WhyOptions {
    std::string project, at = "63", format = "text";
    std::vector<std::string> housings;
};

ExitCode runWhy(const WhyOptions& options, const Streams& streams)
{
    const auto at = frequencyFrom("--at", options.at);
    if (!at) return streams.misuse(at.error().message, "why");
    const auto project = opened(options.project, streams);
    if (!project) return streams.refuse(project.error());
    const auto indices = housingsNamed(*project, options.housings);
    if (!indices) return streams.refuse(inFile(options.project, indices.error()));
    const auto ledgers = ledgersOf(*project, *indices, *at);
    if (!ledgers) return streams.refuse(inFile(options.project, ledgers.error()));
    return streams.print(options.format == "json" ? whyJson(*ledgers) : whyText(*ledgers));
}

}  // namespace

Command whyCommand(CLI::App& app)
{
    CLI::App* command =
        app.add_subcommand("why", "Where the bass went: an account of decibels from the driver alone to the rider");
    const auto options = std::make_shared<WhyOptions>();
    addProject(*command, options->project);
    addHousings(*command, options->housings);
    command->add_option("--at", options->at, "Frequency, Hz")->type_name("HZ")->capture_default_str();
    addFormat(*command, options->format, {"text", "json"});
    return {command, [options](const Streams& streams) { return runWhy(*options, streams); }};
}

}  // namespace portwright::console
