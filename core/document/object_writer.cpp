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

void ObjectWriter::text(std::string_view key, std::string& text)
{
    text = validUtf8(text);
    put(key, {text});
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
