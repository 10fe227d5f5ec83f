// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/json_text.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <unordered_set>

namespace portwright {

namespace {

using Json = nlohmann::json;

/// Builds the tree from the parser's events, so that bounds hold while reading and nothing recurses.
class TreeBuilder {
public:
    JsonValue root;
    Error error;

    bool null() { return put({nullptr}); }
    bool boolean(bool b) { return put({b}); }
    bool number_integer(Json::number_integer_t n) { return put(jsonWhole(n)); }
    bool number_unsigned(Json::number_unsigned_t n)
    {
        return put({JsonNumber{static_cast<double>(n), std::to_string(n)}});
    }
    bool number_float(Json::number_float_t x, const std::string& text)
    {
        std::string digits = text;
        std::replace(digits.begin(), digits.end(), ',', '.');  // the parser hands out the locale's decimal mark
        return put({JsonNumber{x, std::move(digits)}});
    }
    bool string(std::string& text) { return put({std::move(text)}); }
    bool binary(Json::binary_t&) { return false; }

    bool start_object(std::size_t) { return open({JsonObject{}}); }
    bool start_array(std::size_t) { return open({JsonArray{}}); }
    bool end_object() { return close(); }
    bool end_array() { return close(); }

    bool key(std::string& name)
    {
        Frame& frame = open_.back();
        if (!frame.keys.insert(name).second)
            return refuse(
                fmt::format("the key {} stands twice in one object; each key may stand once", quotedText(name)));
        if (frame.keys.size() > jsonKeyLimit)
            return refuse(fmt::format("more than {} keys in one object; so many are not read", jsonKeyLimit));
        frame.key = std::move(name);
        return true;
    }

    bool parse_error(std::size_t position, const std::string& lastToken, const nlohmann::detail::exception& problem)
    {
        position_ = position;
        const bool tooLarge = dynamic_cast<const Json::out_of_range*>(&problem) != nullptr;
        const std::string what = problem.what();
        if (tooLarge)
            error.message = fmt::format("the number {} is beyond what can be reckoned with; finite numbers are allowed",
                                        quotedText(lastToken));
        else if (what.find("UTF-8") != std::string::npos)
            error.message = "a byte is not UTF-8; the file must be UTF-8 text";
        else
            error.message = fmt::format(
                "this is not JSON: after {} the text breaks off or goes wrong; decimals take a point, and each "
                "value but the last a comma behind it",
                quotedText(lastToken));
        return false;
    }

    std::size_t position() const { return position_; }

private:
    struct Frame {
        JsonValue* value;
        std::unordered_set<std::string> keys;
        std::string key;
    };

    // The place of the value to come; a parent list never grows while a child of it is open, so pointers hold.
    JsonValue* place(JsonValue value)
    {
        if (open_.empty()) {
            root = std::move(value);
            return &root;
        }
        Frame& frame = open_.back();
        if (auto* list = std::get_if<JsonArray>(&frame.value->value)) return &list->emplace_back(std::move(value));
        return &std::get<JsonObject>(frame.value->value).emplace_back(std::move(frame.key), std::move(value)).second;
    }

    bool put(JsonValue value)
    {
        if (++count_ > jsonValueLimit)
            return refuse(fmt::format("more than {} values; so many are not read", jsonValueLimit));
        place(std::move(value));
        return true;
    }

    bool open(JsonValue value)
    {
        if (++count_ > jsonValueLimit)
            return refuse(fmt::format("more than {} values; so many are not read", jsonValueLimit));
        if (open_.size() >= static_cast<std::size_t>(jsonDepthLimit))
            return refuse(
                fmt::format("nested more than {} levels deep; at most {} are allowed", jsonDepthLimit, jsonDepthLimit));
        open_.push_back({place(std::move(value)), {}, {}});
        return true;
    }

    bool close()
    {
        open_.pop_back();
        return true;
    }

    bool refuse(std::string message)
    {
        error = {pointer(), std::move(message)};
        return false;
    }

    std::string pointer() const
    {
        std::string path;
        for (std::size_t i = 0; i + 1 < open_.size(); ++i) {
            const JsonValue& parent = *open_[i].value;
            if (const auto* list = std::get_if<JsonArray>(&parent.value))
                path = below(path, list->size() - 1);
            else
                path = below(path, std::get<JsonObject>(parent.value).back().first);
        }
        return path.empty() ? "/" : path;
    }

    std::vector<Frame> open_;
    std::size_t count_ = 0;
    std::size_t position_ = 0;
};

std::size_t lineOf(std::string_view text, std::size_t position)
{
    const std::size_t end = std::min(position == 0 ? 0 : position - 1, text.size());
    return 1 +
           static_cast<std::size_t>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(end), '\n'));
}

// Length of the UTF-8 character that begins at i, 0 if none does (overlong forms and surrogates are none).
std::size_t characterLength(std::string_view text, std::size_t i)
{
    const auto at = [&](std::size_t k) { return k < text.size() ? static_cast<unsigned char>(text[k]) : 0u; };
    const auto follows = [&](std::size_t k, unsigned low = 0x80, unsigned high = 0xBF) {
        return at(k) >= low && at(k) <= high;
    };
    const unsigned c = at(i);
    if (c < 0x80) return 1;
    if (c >= 0xC2 && c <= 0xDF) return follows(i + 1) ? 2 : 0;
    if (c >= 0xE0 && c <= 0xEF)
        return follows(i + 1, c == 0xE0 ? 0xA0 : 0x80, c == 0xED ? 0x9F : 0xBF) && follows(i + 2) ? 3 : 0;
    if (c >= 0xF0 && c <= 0xF4)
        return follows(i + 1, c == 0xF0 ? 0x90 : 0x80, c == 0xF4 ? 0x8F : 0xBF) && follows(i + 2) && follows(i + 3) ? 4
                                                                                                                    : 0;
    return 0;
}

void appendEscaped(std::string& out, std::string_view text)
{
    for (char c : text) {
        if (c == '"')
            out += "\\\"";
        else if (c == '\\')
            out += "\\\\";
        else if (c == '\n')
            out += "\\n";
        else if (c == '\t')
            out += "\\t";
        else if (c == '\r')
            out += "\\r";
        else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
            out += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
        else
            out += c;
    }
}

std::string stringText(std::string_view text)
{
    std::string out = "\"";
    appendEscaped(out, validUtf8(text));
    return out + '"';
}

bool holdsContainers(const JsonValue& value)
{
    const auto isContainer = [](const JsonValue& v) { return v.value.index() >= 4; };
    if (const auto* list = std::get_if<JsonArray>(&value.value))
        return std::any_of(list->begin(), list->end(), isContainer);
    const auto* object = std::get_if<JsonObject>(&value.value);
    return object &&
           std::any_of(object->begin(), object->end(), [&](const auto& entry) { return isContainer(entry.second); });
}

struct Layout {
    bool spread;  ///< line breaks where containers are inside
    int depth = 0;

    bool breaks(const JsonValue& value) const
    {
        constexpr std::size_t longestLine = 76;
        return spread && (depth == 0 || holdsContainers(value) || compactJsonText(value).size() > longestLine);
    }
    std::string lineBreak(int extra) const
    {
        return "\n" + std::string(2 * static_cast<std::size_t>(depth + extra), ' ');
    }
};

void append(std::string& out, const JsonValue& value, Layout layout);

template <class Items, class AppendItem>
void appendItems(std::string& out, const JsonValue& value, const Items& items, Layout layout,
                 std::pair<char, char> brackets, AppendItem appendItem)
{
    out += brackets.first;
    const bool lines = layout.breaks(value) && !items.empty();
    const bool padded = layout.spread && !lines && !items.empty() && brackets.first == '{';
    for (std::size_t i = 0; i < items.size(); ++i) {
        if (i > 0) out += lines || !layout.spread ? "," : ", ";
        if (lines)
            out += layout.lineBreak(1);
        else if (padded && i == 0)
            out += ' ';
        appendItem(items[i]);
    }
    if (lines)
        out += layout.lineBreak(0);
    else if (padded)
        out += ' ';
    out += brackets.second;
}

void append(std::string& out, const JsonValue& value, Layout layout)
{
    const Layout inside{layout.spread, layout.depth + 1};
    if (std::holds_alternative<std::nullptr_t>(value.value))
        out += "null";
    else if (const auto* b = std::get_if<bool>(&value.value))
        out += *b ? "true" : "false";
    else if (const auto* number = std::get_if<JsonNumber>(&value.value))
        out += number->text;
    else if (const auto* text = std::get_if<std::string>(&value.value))
        out += stringText(*text);
    else if (const auto* list = std::get_if<JsonArray>(&value.value))
        appendItems(out, value, *list, layout, {'[', ']'}, [&](const JsonValue& item) { append(out, item, inside); });
    else
        appendItems(out, value, std::get<JsonObject>(value.value), layout, {'{', '}'}, [&](const auto& entry) {
            out += stringText(entry.first) + (layout.spread ? ": " : ":");
            append(out, entry.second, inside);
        });
}

}  // namespace

const JsonValue* find(const JsonValue& object, std::string_view key)
{
    const auto* entries = std::get_if<JsonObject>(&object.value);
    if (!entries) return nullptr;
    const auto found =
        std::find_if(entries->begin(), entries->end(), [key](const auto& entry) { return entry.first == key; });
    return found == entries->end() ? nullptr : &found->second;
}

JsonValue* find(JsonValue& object, std::string_view key)
{
    return const_cast<JsonValue*>(find(static_cast<const JsonValue&>(object), key));
}

Result<JsonValue> parseJson(std::string_view text)
{
    if (text.find_first_not_of(" \t\r\n") == std::string_view::npos)
        return fail("line 1", "there is nothing in it; a JSON object is expected");
    TreeBuilder builder;
    try {
        if (Json::sax_parse(text.begin(), text.end(), &builder)) return std::move(builder.root);
    } catch (const std::exception& problem) {  // none is known; whatever the library throws ends here
        return fail("line 1", fmt::format("this is not JSON: {}", quotedText(problem.what())));
    }
    if (builder.error.field.empty()) builder.error.field = fmt::format("line {}", lineOf(text, builder.position()));
    return fail(std::move(builder.error));
}

std::string jsonText(const JsonValue& value)
{
    std::string out;
    append(out, value, {true});
    return out;
}

std::string compactJsonText(const JsonValue& value)
{
    std::string out;
    append(out, value, {false});
    return out;
}

JsonValue jsonNumber(double value)
{
    if (!std::isfinite(value)) return {nullptr};
    std::array<char, 64> digits;
    const double size = std::abs(value);
    const bool plain = size == 0 || (size >= 1e-5 && size < 1e15);
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value,
                                   plain ? std::chars_format::fixed : std::chars_format::scientific)
                         .ptr;
    std::string text(digits.data(), end);
    if (plain && text.find('.') == std::string::npos) text += ".0";
    return {JsonNumber{value, std::move(text)}};
}

JsonValue jsonWhole(long long value) { return {JsonNumber{static_cast<double>(value), std::to_string(value)}}; }

std::string validUtf8(std::string_view text)
{
    std::string valid;
    valid.reserve(text.size());
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t length = characterLength(text, i);
        if (length == 0)
            valid += "\uFFFD";
        else
            valid.append(text, i, length);
        i += std::max<std::size_t>(length, 1);
    }
    return valid;
}

std::string quotedText(std::string_view text)
{
    constexpr std::size_t longest = 40;
    std::size_t end = std::min(text.size(), longest);
    while (end < text.size() && end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80)
        --end;
    const std::string valid = validUtf8(text.substr(0, end));
    std::string out = "\"";
    for (char c : valid) {
        if (c == '"')
            out += c;  // as typed: an escaped quote in a sentence only confuses
        else
            appendEscaped(out, {&c, 1});
    }
    return out + (end < text.size() ? "\u2026\"" : "\"");
}

std::string below(const std::string& pointer, std::string_view key)
{
    std::string out = pointer + "/";
    for (char c : validUtf8(key)) {
        if (c == '~')
            out += "~0";
        else if (c == '/')
            out += "~1";
        else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F)
            out += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
        else
            out += c;
    }
    return out;
}

std::string below(const std::string& pointer, std::size_t index) { return pointer + "/" + std::to_string(index); }

std::string foundWords(const JsonValue& value)
{
    if (std::holds_alternative<std::nullptr_t>(value.value)) return "empty (null)";
    if (const auto* b = std::get_if<bool>(&value.value)) return *b ? "true" : "false";
    if (const auto* number = std::get_if<JsonNumber>(&value.value))
        return number->text.size() <= 24 ? number->text : fmt::format("{:g}", number->value);
    if (const auto* text = std::get_if<std::string>(&value.value)) return "the text " + quotedText(*text);
    return std::holds_alternative<JsonArray>(value.value) ? "a list" : "an object";
}

}  // namespace portwright
