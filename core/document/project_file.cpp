// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/project_file.h"

#include "core/document/migrations.h"
#include "core/document/object_reader.h"
#include "core/document/object_writer.h"

#include <cerrno>
#include <cmath>
#include <cstring>
#include <fmt/format.h>
#include <fstream>
#include <set>

namespace portwright {

namespace {

Result<int> versionOf(const JsonValue& root)
{
    const JsonValue* format = find(root, "format");
    if (!std::holds_alternative<JsonObject>(root.value))
        return fail("/", "this is " + foundWords(root) + "; a project file is an object");
    if (!format) return fail("/format", "format is missing; a project file says \"portwright-project\" there");
    if (format->value != JsonValue{std::string("portwright-project")}.value)
        return fail("/format",
                    "format is " + foundWords(*format) + "; a project file says \"portwright-project\" there");
    const JsonValue* version = find(root, "version");
    if (!version) return fail("/version", fmt::format("version is missing; allowed is 0 to {}", projectFileVersion));
    const auto* number = std::get_if<JsonNumber>(&version->value);
    if (!number || !(number->value >= 0) || number->value != std::floor(number->value))
        return fail("/version", fmt::format("version is {}; allowed is a whole number from 0 to {}",
                                            foundWords(*version), projectFileVersion));
    if (number->value > projectFileVersion)
        return fail(
            "/version",
            fmt::format("the file is of version {}, this program reads up to version {}; open it with a newer program",
                        foundWords(*version), projectFileVersion));
    return static_cast<int>(number->value);
}

std::string driverList(const Project& project)
{
    if (project.drivers.empty()) return "there are no drivers in the file";
    std::string list;
    constexpr std::size_t most = 6;
    for (std::size_t i = 0; i < project.drivers.size() && i < most; ++i)
        list += (i ? ", " : "") + quotedText(project.drivers[i].id);
    return "the file has " + list + (project.drivers.size() > most ? " and more" : "");
}

std::string pointerTo(const char* list, std::size_t index, const char* key)
{
    return fmt::format("/{}/{}/{}", list, index, key);
}

template <class T> std::optional<Error> firstDuplicate(const std::vector<T>& items, const char* list)
{
    std::set<std::string> ids;
    for (std::size_t i = 0; i < items.size(); ++i)
        if (!ids.insert(items[i].id).second)
            return Error{pointerTo(list, i, "id"), fmt::format("id is {}, as of an earlier one; each id may stand once",
                                                               quotedText(items[i].id))};
    return std::nullopt;
}

// What one object alone cannot know: ids are unique, references lead somewhere.
std::optional<Error> brokenReference(const Project& project)
{
    if (auto twice = firstDuplicate(project.drivers, "drivers")) return twice;
    if (auto twice = firstDuplicate(project.housings, "housings")) return twice;
    for (std::size_t i = 0; i < project.housings.size(); ++i) {
        const Housing& h = project.housings[i];
        if (!findDriver(project, h.driver))
            return Error{pointerTo("housings", i, "driver"), fmt::format("driver is {}, which is no driver's id; {}",
                                                                         quotedText(h.driver), driverList(project))};
        for (std::size_t k = 0; k < h.openings.size(); ++k)
            if (h.openings[k].cavity == CavityId::second && !h.secondCavity)
                return Error{fmt::format("/housings/{}/openings/{}/cavity", i, k),
                             "cavity is \"second\", but the housing has no second_cavity; "
                             "allowed is \"main\""};
    }
    return std::nullopt;
}

std::string readingTrouble(const std::filesystem::path& path)
{
    std::error_code trouble;
    const auto status = std::filesystem::status(path, trouble);
    if (!std::filesystem::exists(status)) return "there is no such file; check the name and the folder";
    if (std::filesystem::is_directory(status)) return "this is a folder; a project file is expected";
    if (!std::filesystem::is_regular_file(status)) return "this is no ordinary file; a project file is expected";
    return {};
}

}  // namespace

Result<LoadedProject> parseProject(std::string_view text)
{
    if (text.size() > projectFileSizeLimit)
        return fail("", fmt::format("the file has {} bytes; at most {} are read", text.size(), projectFileSizeLimit));
    auto root = parseJson(text);
    if (!root) return fail(root.error());
    const auto version = versionOf(*root);
    if (!version) return fail(version.error());
    migrate(*root, *version);

    LoadedProject loaded;
    loaded.fileVersion = *version;
    ReadingNotes notes;
    ObjectReader reader(*root, "", notes);
    describe(reader, loaded.project);
    if (!notes.error) notes.error = brokenReference(loaded.project);
    if (notes.error) return fail(*notes.error);
    loaded.warnings = std::move(notes.warnings);
    return loaded;
}

Result<LoadedProject> readProject(const std::filesystem::path& path)
{
    if (auto trouble = readingTrouble(path); !trouble.empty()) return fail(path.string(), trouble);
    std::ifstream file(path, std::ios::binary);
    if (!file)
        return fail(path.string(),
                    fmt::format("the file cannot be opened ({}); check its permissions", std::strerror(errno)));
    std::string text(projectFileSizeLimit + 1, '\0');
    file.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (file.bad())
        return fail(path.string(), "the file cannot be read to its end; the disk or the network may be at fault");
    text.resize(static_cast<std::size_t>(file.gcount()));
    if (text.size() > projectFileSizeLimit)
        return fail(path.string(), fmt::format("the file is larger than {} bytes; so large a project is not read",
                                               projectFileSizeLimit));
    return parseProject(text).map_error([&path](Error error) {
        error.field = error.field.empty() ? path.string() : path.string() + ", " + error.field;
        return error;
    });
}

std::string projectText(const Project& project)
{
    Project copy = project;
    ObjectWriter writer;
    describe(writer, copy);
    return jsonText(std::move(writer).written()) + "\n";
}

Project normalised(const Project& project)
{
    Project copy = project;
    ObjectWriter writer;
    describe(writer, copy);
    return copy;
}

}  // namespace portwright
