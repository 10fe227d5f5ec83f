// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/object_reader.h"

#include "core/document/exact_number.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr std::size_t mostWarnings = 50;

// "5 to 2000 Hz", "a whole number from 1 to 8"
std::string rangeWords(const FieldInfo& info, bool whole)
{
    return fmt::format("{}{} to {}{}{}", whole ? "a whole number from " : "", info.min, info.max,
                       info.unit.empty() ? "" : " ", info.unit);
}

}  // namespace

ObjectReader::ObjectReader(const JsonValue& object, std::string pointer, ReadingNotes& notes)
    : object_(object), pointer_(std::move(pointer)), notes_(notes)
{
}

void ObjectReader::heading()
{
    taken_.push_back("format");  // both were judged before the reading began
    taken_.push_back("version");
}

void ObjectReader::number(std::string_view key, double& si)
{
    const JsonValue* value = take(key);
    if (!value) return missing(key, "allowed is " + rangeWords(info(key), false));
    if (const auto number = checkedNumber(key, *value, info(key), false)) si = siValue(*number, info(key).perSi);
}

void ObjectReader::number(std::string_view key, std::optional<double>& si)
{
    si.reset();
    if (take(key)) number(key, si.emplace());
}

void ObjectReader::whole(std::string_view key, int& count)
{
    const JsonValue* value = take(key);
    if (!value) return missing(key, "allowed is " + rangeWords(info(key), true));
    if (const auto number = checkedNumber(key, *value, info(key), true)) count = static_cast<int>(*number);
}

void ObjectReader::whole(std::string_view key, std::optional<int>& count)
{
    count.reset();
    if (take(key)) whole(key, count.emplace());
}

void ObjectReader::text(std::string_view key, std::string& text, Presence)
{
    text.clear();
    const JsonValue* value = take(key);
    if (!value) return;
    if (const auto* found = std::get_if<std::string>(&value->value))
        text = *found;
    else
        refuse(key, "is " + foundWords(*value) + "; a text is expected");
}

void ObjectReader::flag(std::string_view key, bool& set)
{
    set = false;
    const JsonValue* value = take(key);
    if (!value) return;
    if (const auto* found = std::get_if<bool>(&value->value))
        set = *found;
    else
        refuse(key, "is " + foundWords(*value) + "; allowed is true or false");
}

void ObjectReader::row(std::string_view key, std::vector<double>& values, std::size_t most)
{
    values.clear();
    const JsonArray* list = takeList(key, most, Presence::optional);
    if (!list) return;
    values.resize(list->size());
    for (std::size_t i = 0; i < values.size(); ++i)
        if (!tuple(key, (*list)[i], below(below(pointer_, key), i), {&values[i], 1})) return;
}

void ObjectReader::place(std::string_view key, Point3& place)
{
    place = {};
    if (const JsonValue* value = take(key)) tuple(key, *value, below(pointer_, key), place);
}

void ObjectReader::points(std::string_view key, std::vector<Point2>& points, std::size_t most)
{
    points.clear();
    const JsonArray* list = takeList(key, most, Presence::optional);
    if (!list) return;
    points.resize(list->size());
    for (std::size_t i = 0; i < points.size(); ++i)
        if (!tuple(key, (*list)[i], below(below(pointer_, key), i), points[i])) return;
}

// One number, or a list of exactly as many as there is room for. False if refused.
bool ObjectReader::tuple(std::string_view key, const JsonValue& value, const std::string& pointer,
                         std::span<double> numbers)
{
    const FieldInfo& field = info(key);
    const auto* list = std::get_if<JsonArray>(&value.value);
    if (numbers.size() > 1 && (!list || list->size() != numbers.size())) {
        refuseAt(pointer,
                 fmt::format("{} has {} here; {} numbers in a list are expected", key,
                             list ? fmt::format("a list of {}", list->size()) : foundWords(value), numbers.size()));
        return false;
    }
    for (std::size_t i = 0; i < numbers.size(); ++i) {
        const JsonValue& item = numbers.size() > 1 ? (*list)[i] : value;
        const auto* number = std::get_if<JsonNumber>(&item.value);
        if (!number || !(number->value >= field.min && number->value <= field.max)) {
            refuseAt(numbers.size() > 1 ? below(pointer, i) : pointer,
                     fmt::format("{} has {} here{}; allowed is {}", key, foundWords(item), number ? "" : ", no number",
                                 rangeWords(field, false)));
            return false;
        }
        numbers[i] = siValue(number->value, field.perSi);
    }
    return true;
}

void ObjectReader::name(std::string_view key, std::string& text)
{
    if (!find(object_, key)) return missing(key, "a text is expected");
    this->text(key, text);
    if (text.empty() && !notes_.error) refuse(key, "is empty; a text with at least one character is expected");
}

void ObjectReader::numbers(std::string_view key, std::map<std::string, double>& values)
{
    values.clear();
    const JsonObject* object = takeObject(key);
    if (!object) return;
    ObjectReader inside(*take(key), below(pointer_, key), notes_);
    const FieldInfo any{"uncertainty", "", "", "", Dimension::ratio, 1, 0, 1e9, "", {}};
    for (const auto& [name, value] : *object)
        if (const auto number = inside.checkedNumber(name, value, any, false)) values[name] = siValue(*number, 1);
}

void ObjectReader::onlyOne(std::string_view one, std::string_view other)
{
    if (find(object_, one) && find(object_, other))
        refuseAt(below(pointer_, other), fmt::format("both {} and {} are given; give one of them", one, other));
}

void ObjectReader::needs(std::string_view key, std::string_view companion, std::string_view why)
{
    if (find(object_, key) && !find(object_, companion))
        refuseAt(below(pointer_, companion), fmt::format("{} is missing beside {}; {}", companion, key, why));
}

// The known key that a mistyped one was most likely meant to be: the one it begins, or one letter away.
std::string ObjectReader::meant(std::string_view key) const
{
    const auto oneLetterAway = [](std::string_view a, std::string_view b) {
        if (a.size() > b.size()) std::swap(a, b);
        if (b.size() - a.size() > 1) return false;
        const std::size_t same = std::mismatch(a.begin(), a.end(), b.begin()).first - a.begin();
        return a.substr(same + (a.size() == b.size() && same < a.size())) == b.substr(std::min(same + 1, b.size()));
    };
    for (const std::string_view known : taken_)
        if (known != key && ((key.size() >= 2 && known.substr(0, key.size()) == key) || oneLetterAway(key, known)))
            return fmt::format("; was {} meant?", quotedText(known));
    return "";
}

void ObjectReader::unknown(UnknownKeys& keys)
{
    keys.clear();
    for (const auto& [key, value] : std::get<JsonObject>(object_.value)) {
        if (std::find(taken_.begin(), taken_.end(), key) != taken_.end()) continue;
        keys.emplace_back(key, compactJsonText(value));
        warn(below(pointer_, key),
             fmt::format("the key {} is not known to this version; it is kept, but not reckoned with{}",
                         quotedText(key), meant(key)));
    }
}

const JsonValue* ObjectReader::take(std::string_view key)
{
    if (std::find(taken_.begin(), taken_.end(), key) == taken_.end()) taken_.push_back(key);
    return find(object_, key);
}

const JsonObject* ObjectReader::takeObject(std::string_view key)
{
    const JsonValue* value = take(key);
    if (!value) return nullptr;
    const auto* object = std::get_if<JsonObject>(&value->value);
    if (!object) refuse(key, "is " + foundWords(*value) + "; an object is expected");
    return object;
}

const JsonArray* ObjectReader::takeList(std::string_view key, std::size_t most, Presence presence)
{
    const JsonValue* value = take(key);
    if (!value) {
        if (presence == Presence::required) missing(key, "a list is expected");
        return nullptr;
    }
    const auto* list = std::get_if<JsonArray>(&value->value);
    if (!list)
        refuse(key, "is " + foundWords(*value) + "; a list is expected");
    else if (list->size() > most)
        refuse(key, fmt::format("has {} entries; at most {} are allowed", list->size(), most));
    return list && list->size() <= most ? list : nullptr;
}

std::optional<double> ObjectReader::checkedNumber(std::string_view key, const JsonValue& value, const FieldInfo& field,
                                                  bool whole)
{
    const auto* number = std::get_if<JsonNumber>(&value.value);
    const bool good = number && std::isfinite(number->value) && number->value >= field.min &&
                      number->value <= field.max && (!whole || number->value == std::floor(number->value));
    if (good) return number->value;
    refuse(key, fmt::format("is {}{}; allowed is {}", foundWords(value), number ? "" : ", no number",
                            rangeWords(field, whole)));
    return std::nullopt;
}

const FieldInfo& ObjectReader::info(std::string_view key) const
{
    const FieldInfo* found = fieldInfo(table_, key);
    assert(found && "every number that describe.h names stands in fields.cpp");
    return *found;
}

void ObjectReader::missing(std::string_view key, const std::string& allowed) { refuse(key, "is missing; " + allowed); }

void ObjectReader::refuse(std::string_view key, const std::string& what)
{
    const std::string quoted = quotedText(key);
    refuseAt(below(pointer_, key), quoted.substr(1, quoted.size() - 2) + " " + what);
}

void ObjectReader::refuseAt(std::string pointer, std::string message)
{
    if (!notes_.error) notes_.error = Error{std::move(pointer), std::move(message)};
}

void ObjectReader::warn(std::string pointer, std::string message)
{
    if (notes_.warnings.size() < mostWarnings)
        notes_.warnings.push_back({std::move(pointer), std::move(message)});
    else if (notes_.warnings.size() == mostWarnings)
        notes_.warnings.push_back({"/", "more keys are not known to this version; all are kept"});
}

}  // namespace portwright
