// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/migrations.h"

#include "core/document/project_file.h"

#include <algorithm>
#include <array>
#include <optional>

namespace portwright {

namespace {

// Takes a key out of an object, if it is one and has it.
std::optional<JsonValue> taken(JsonValue& object, std::string_view key)
{
    auto* entries = std::get_if<JsonObject>(&object.value);
    if (!entries) return std::nullopt;
    const auto found =
        std::find_if(entries->begin(), entries->end(), [key](const auto& entry) { return entry.first == key; });
    if (found == entries->end()) return std::nullopt;
    JsonValue value = std::move(found->second);
    entries->erase(found);
    return value;
}

void putNew(JsonValue& object, std::string_view key, JsonValue value)
{
    std::get<JsonObject>(object.value).emplace_back(std::string(key), std::move(value));
}

template <class Change> void forEach(JsonValue& root, std::string_view listKey, Change change)
{
    JsonValue* list = find(root, listKey);
    auto* items = list ? std::get_if<JsonArray>(&list->value) : nullptr;
    if (items) std::for_each(items->begin(), items->end(), change);
}

void driverFrom0(JsonValue& driver)
{
    if (find(driver, "sd_cm2")) return;
    auto area = taken(driver, "sd_mm2");
    if (!area) return;
    if (auto* number = std::get_if<JsonNumber>(&area->value)) area = jsonNumber(number->value / 100);
    putNew(driver, "sd_cm2", std::move(*area));
}

void housingFrom0(JsonValue& housing)
{
    if (!find(housing, "cavity"))
        if (auto volume = taken(housing, "volume_l"))
            putNew(housing, "cavity", {JsonObject{{"net_volume_l", std::move(*volume)}}});
    auto leak = taken(housing, "leak_q");
    if (!leak) return;
    if (!find(housing, "openings")) putNew(housing, "openings", {JsonArray{}});
    if (auto* openings = std::get_if<JsonArray>(&find(housing, "openings")->value))
        openings->insert(openings->begin(),
                         JsonValue{JsonObject{{"kind", {std::string("leak")}}, {"q", std::move(*leak)}}});
}

void from0to1(JsonValue& root)
{
    if (!find(root, "feed"))
        if (auto volts = taken(root, "volts")) putNew(root, "feed", {JsonObject{{"voltage_v", std::move(*volts)}}});
    forEach(root, "drivers", driverFrom0);
    forEach(root, "housings", housingFrom0);
}

constexpr std::array steps{&from0to1};  // steps[n] leads from version n to n + 1
static_assert(steps.size() == projectFileVersion);

}  // namespace

void migrate(JsonValue& root, int fromVersion)
{
    for (auto step = static_cast<std::size_t>(fromVersion); step < steps.size(); ++step)
        steps[step](root);
}

}  // namespace portwright
