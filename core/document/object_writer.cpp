// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/object_writer.h"

#include "core/document/exact_number.h"
#include "core/document/project_file.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace portwright {

void ObjectWriter::heading()
{
    put("format", {std::string("portwright-project")});
    put("version", jsonWhole(projectFileVersion));
}

void ObjectWriter::number(std::string_view key, double& si)
{
    const FieldInfo* info = fieldInfo(table_, key);
    assert(info && "every number that describe.h names stands in fields.cpp");
    const double number = fileNumber(si, info->perSi);
    if (!std::isfinite(number)) return;  // the reader will say that it is missing
    si = siValue(number, info->perSi);
    put(key, jsonNumber(number));
}

void ObjectWriter::number(std::string_view key, std::optional<double>& si)
{
    if (si && !std::isfinite(*si)) si.reset();
    if (si) number(key, *si);
}

void ObjectWriter::whole(std::string_view key, std::optional<int>& count)
{
    if (count) whole(key, *count);
}

void ObjectWriter::text(std::string_view key, std::string& text, Presence presence)
{
    text = validUtf8(text);
    if (!text.empty() || presence != Presence::optional) put(key, {text});
}

void ObjectWriter::flag(std::string_view key, bool& set)
{
    if (set) put(key, {true});
}

void ObjectWriter::row(std::string_view key, std::vector<double>& values, std::size_t)
{
    std::erase_if(values, [](double value) { return !std::isfinite(value); });
    JsonArray list;
    for (double& value : values)
        list.push_back(tuple(key, {&value, 1}));
    if (!list.empty()) put(key, {std::move(list)});
}

void ObjectWriter::place(std::string_view key, Point3& place)
{
    for (double& part : place)
        if (!std::isfinite(part)) part = 0;
    JsonValue value = tuple(key, place);
    if (place != Point3{}) put(key, std::move(value));
}

void ObjectWriter::points(std::string_view key, std::vector<Point2>& points, std::size_t)
{
    std::erase_if(points, [](const Point2& p) { return !std::isfinite(p[0]) || !std::isfinite(p[1]); });
    JsonArray list;
    for (Point2& point : points)
        list.push_back(tuple(key, point));
    if (!list.empty()) put(key, {std::move(list)});
}

// One number as such, several as a list; the numbers become what the reader makes of them.
JsonValue ObjectWriter::tuple(std::string_view key, std::span<double> numbers)
{
    const FieldInfo* info = fieldInfo(table_, key);
    assert(info && "every number that describe.h names stands in fields.cpp");
    JsonArray list;
    for (double& si : numbers) {
        const double number = fileNumber(si, info->perSi);
        si = siValue(number, info->perSi);
        list.push_back(jsonNumber(number));
    }
    return numbers.size() == 1 ? std::move(list.front()) : JsonValue{std::move(list)};
}

void ObjectWriter::numbers(std::string_view key, std::map<std::string, double>& values)
{
    std::erase_if(values, [](const auto& entry) { return !std::isfinite(entry.second); });
    JsonObject object;
    for (const auto& [name, value] : values)
        object.emplace_back(validUtf8(name), jsonNumber(value));
    if (!object.empty()) put(key, {std::move(object)});
}

void ObjectWriter::unknown(UnknownKeys& keys)
{
    UnknownKeys kept;
    for (auto& [key, text] : keys) {
        const std::string name = validUtf8(key);
        const bool taken =
            std::any_of(object_.begin(), object_.end(), [&name](const auto& entry) { return entry.first == name; });
        auto value = parseJson(text);
        if (taken || !value || std::find(shut_.begin(), shut_.end(), name) != shut_.end()) continue;
        kept.emplace_back(name, compactJsonText(*value));
        object_.emplace_back(name, std::move(*value));
    }
    keys = std::move(kept);
}

}  // namespace portwright
