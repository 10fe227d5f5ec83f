// SPDX-License-Identifier: GPL-3.0-or-later
// What the commands share: their streams, and how a project and its housings are named on the command line.
#pragma once

#include "app/console/run.h"

#include <functional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace portwright::console {

inline constexpr const char* programName = "portwright-cli";

/// The two streams, and how a command ends.
struct Streams {
    std::ostream& out;
    std::ostream& err;

    ExitCode print(const std::string& text) const;
    ExitCode refuse(const Error& error) const;
    ExitCode misuse(const std::string& message, const std::string& command = {}) const;
    void warn(const std::string& sentence) const;
};

/// A command: what it asks of the parser, and what it does once that has read the arguments.
struct Command {
    CLI::App* parser;
    std::function<ExitCode(const Streams&)> run;
};

Command solveCommand(CLI::App& app);
Command compareCommand(CLI::App& app);
Command chartCommand(CLI::App& app, const PaintChart& paintChart);
Command cavityCommand(CLI::App& app);
Command whyCommand(CLI::App& app);
Command portCommand(CLI::App& app, const PaintTemplates& paintTemplates);

void addProject(CLI::App& command, std::string& project);
void addHousings(CLI::App& command, std::vector<std::string>& ids);
void addFormat(CLI::App& command, std::string& format, const std::vector<std::string>& formats);

/// The project in a file; what it warns of is told. Errors: what cannot be read, with the file as place.
Result<Project> opened(const std::string& file, const Streams& streams);

/// The error with the file before its place.
Error inFile(const std::string& file, Error error);

Result<int> wholeNumber(const std::string& text, int low, int high);

/// 0.1 Hz to 100 kHz; `name` is the option's.
Result<double> frequencyFrom(const char* name, const std::string& text);

}  // namespace portwright::console
