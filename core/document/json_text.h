// SPDX-License-Identifier: GPL-3.0-or-later
// JSON as a tree of plain values that keeps the order of keys and the digits of numbers.
// Reading is bounded: depth, keys of an object, values in all; duplicate keys are an error. Writing never fails.
#pragma once

#include "core/result.h"

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace portwright {

struct JsonNumber {
    double value = 0;
    std::string text;  ///< as it stands in the file, point decimals
    bool operator==(const JsonNumber&) const = default;
};

struct JsonValue;
using JsonArray = std::vector<JsonValue>;
using JsonObject = std::vector<std::pair<std::string, JsonValue>>;  ///< in the file's order, keys unique

struct JsonValue {
    std::variant<std::nullptr_t, bool, JsonNumber, std::string, JsonArray, JsonObject> value = nullptr;
    bool operator==(const JsonValue&) const = default;
};

/// Null if the value is no object or has no such key.
const JsonValue* find(const JsonValue& object, std::string_view key);
JsonValue* find(JsonValue& object, std::string_view key);

inline constexpr int jsonDepthLimit = 64;
inline constexpr std::size_t jsonKeyLimit = 1000;      ///< keys of one object
inline constexpr std::size_t jsonValueLimit = 400000;  ///< values in one text

/// Errors: field is "line 12" where the text is no JSON, a JSON pointer where a bound is passed.
Result<JsonValue> parseJson(std::string_view text);

/// Two-space indent; a short object or list with nothing nested stays on one line. No newline at the end.
std::string jsonText(const JsonValue& value);
std::string compactJsonText(const JsonValue& value);

/// A number with the fewest digits that read back to it, at least one decimal: 20.0. Null if it is not finite.
JsonValue jsonNumber(double value);
JsonValue jsonWhole(long long value);

/// Bytes that are no UTF-8 become U+FFFD.
std::string validUtf8(std::string_view text);

/// A text in double quotes on one line, cut to a sensible length: for messages.
std::string quotedText(std::string_view text);

/// A JSON pointer with one more step; control characters are escaped so that it stays one line.
std::string below(const std::string& pointer, std::string_view key);
std::string below(const std::string& pointer, std::size_t index);

/// "text \"abc\"", "a list", "nothing (null)": what was found, for messages.
std::string foundWords(const JsonValue& value);

}  // namespace portwright
