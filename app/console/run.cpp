// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/run.h"

#include "app/console/command.h"
#include "app/console/port_command.h"
#include "core/document/json_text.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <fmt/format.h>

namespace portwright::console {

namespace {

// "solve, compare and port"
std::string listOf(const std::vector<Command>& commands, const char* last)
{
    std::string list;
    for (std::size_t i = 0; i < commands.size(); ++i)
        list += (i == 0 ? "" : i + 1 == commands.size() ? last : ", ") + commands[i].parser->get_name();
    return list;
}

}  // namespace

ExitCode run(const std::vector<std::string>& arguments, std::ostream& out, std::ostream& err,
             const PaintChart& paintChart, const PaintTemplates& paintTemplates)
{
    const Streams streams{out, err};
    CLI::App app("Loudspeaker housings on motorcycles: solves, compares and draws the housings of a project file.",
                 programName);
    app.set_version_flag("--version", std::string(programName) + " " PORTWRIGHT_VERSION);
    app.require_subcommand(1);
    app.footer("Exit status: 0 done, 1 wrong input, 2 wrong usage.");
    const std::vector<Command> commands{solveCommand(app),  compareCommand(app), chartCommand(app, paintChart),
                                        cavityCommand(app), whyCommand(app),     portCommand(app, paintTemplates)};

    if (arguments.empty()) return streams.misuse("a command is expected: " + listOf(commands, " or "));
    const auto isNamed = [&](const Command& command) { return command.parser->get_name() == arguments[0]; };
    if (!arguments[0].starts_with('-') && std::none_of(commands.begin(), commands.end(), isNamed))
        return streams.misuse(
            fmt::format("there is no command {}; there are {}", quotedText(arguments[0]), listOf(commands, " and ")));
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
    const auto given =
        std::find_if(commands.begin(), commands.end(), [](const Command& command) { return command.parser->parsed(); });
    return given->run(streams);
}

}  // namespace portwright::console
