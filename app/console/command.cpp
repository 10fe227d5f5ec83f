// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/command.h"

#include "app/console/plain_text.h"
#include "core/document/json_text.h"
#include "core/document/project_file.h"
#include "core/quantity/quantity.h"

#include <CLI/CLI.hpp>
#include <charconv>
#include <fmt/format.h>
#include <ostream>

namespace portwright::console {

ExitCode Streams::print(const std::string& text) const
{
    out << text << std::flush;
    if (out) return done;
    err << programName << ": the results could not be written to standard output; the disk may be full\n";
    return wrongInput;
}

ExitCode Streams::refuse(const Error& error) const
{
    err << oneLine(error.field.empty() ? error.message : error.field + ": " + error.message) << "\n";
    return wrongInput;
}

ExitCode Streams::misuse(const std::string& message, const std::string& command) const
{
    err << programName << ": " << oneLine(message) << " (see " << programName << (command.empty() ? "" : " " + command)
        << " --help)\n";
    return wrongUsage;
}

void Streams::warn(const std::string& sentence) const { err << oneLine("warning: " + sentence) << "\n"; }

void addProject(CLI::App& command, std::string& project)
{
    command.add_option("PROJECT", project, "Project file (.portwright)")->required()->type_name("");
}

void addHousings(CLI::App& command, std::vector<std::string>& ids)
{
    command.add_option("--housing", ids, "Only the housing of this id; may be given several times")
        ->type_name("ID")
        ->allow_extra_args(false);
}

void addFormat(CLI::App& command, std::string& format, const std::vector<std::string>& formats)
{
    std::string list;
    for (std::size_t i = 0; i < formats.size(); ++i)
        list += (i == 0 ? "" : i + 1 == formats.size() ? " or " : ", ") + formats[i];
    command.add_option("--format", format, list)
        ->check([formats, list](const std::string& text) {
            return std::find(formats.begin(), formats.end(), text) != formats.end()
                       ? std::string()
                       : quotedText(text) + "; " + list + " is expected";
        })
        ->type_name("FORMAT")
        ->capture_default_str();
}

Error inFile(const std::string& file, Error error)
{
    error.field = error.field.empty() ? file : file + ", " + error.field;
    return error;
}

Result<Project> opened(const std::string& file, const Streams& streams)
{
    auto loaded = readProject(file);
    std::error_code problem;
    if (!loaded && std::filesystem::path(file).extension() != ".portwright" &&
        std::filesystem::is_regular_file(file, problem))
        return fail(loaded.error().field, "a project file (.portwright) is wanted here; " + loaded.error().message);
    if (!loaded) return fail(loaded.error());
    for (const Error& warning : loaded->warnings)
        streams.warn(fmt::format("{}, {}: {}", file, warning.field, warning.message));
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

Result<double> frequencyFrom(const char* name, const std::string& text)
{
    constexpr double lowest = 0.1, highest = 100000;  // Hz
    const auto value = parseQuantity(text, Dimension::frequency, UnitSystem::metric);
    if (!value) return fail("", fmt::format("{}: {}", name, value.error().message));
    if (*value < lowest || *value > highest)
        return fail("", fmt::format("{} is {} Hz; allowed is {} to {} Hz", name, *value, lowest, highest));
    return *value;
}

}  // namespace portwright::console
