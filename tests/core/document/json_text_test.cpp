// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/json_text.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <rapidcheck/catch.h>

using namespace portwright;

namespace {

std::string nested(std::size_t depth) { return std::string(depth, '[') + std::string(depth, ']'); }

Error refusal(const std::string& text)
{
    const auto value = parseJson(text);
    REQUIRE(!value);
    return value.error();
}

}  // namespace

TEST_CASE("order of keys and digits of numbers are kept")
{
    const std::string text = R"({"z":1.50,"a":[1E5,-0.0,18446744073709551615,null,true],"m":{"x":"\u00e9\n"}})";
    const auto value = parseJson(text);
    REQUIRE(value);
    CHECK(compactJsonText(*value) ==
          "{\"z\":1.50,\"a\":[1E5,-0.0,18446744073709551615,null,true],\"m\":{\"x\":\"\u00E9\\n\"}}");
    CHECK(parseJson(jsonText(*value)) == value);
}

TEST_CASE("a duplicate key is an error that names its object")
{
    const Error error = refusal(R"({"a": 1, "list": [{}, {"b": 1, "b": 2}]})");
    CHECK(error.field == "/list/1");
    CHECK(error.message == "the key \"b\" stands twice in one object; each key may stand once");
}

TEST_CASE("depth, keys and values are bounded")
{
    CHECK(parseJson(nested(64)).has_value());
    CHECK(refusal(nested(65)).message == "nested more than 64 levels deep; at most 64 are allowed");
    CHECK(refusal(std::string(1000000, '[')).message == "nested more than 64 levels deep; at most 64 are allowed");
    std::string keys = "{\"k\":0";
    for (std::size_t i = 0; i < jsonKeyLimit; ++i)
        keys += ",\"k" + std::to_string(i) + "\":0";
    CHECK(refusal(keys + "}").message == "more than 1000 keys in one object; so many are not read");
    std::string values = "[0";
    for (std::size_t i = 0; i < jsonValueLimit; ++i)
        values += ",0";
    CHECK(refusal(values + "]").message == "more than 400000 values; so many are not read");
}

TEST_CASE("text that is no JSON is refused with its line")
{
    CHECK(refusal("{\n \"a\": 1,\n \"b\": NaN }").field == "line 3");
    CHECK(refusal("{\n \"a\": 1").field == "line 2");
    CHECK(refusal("").message == "there is nothing in it; a JSON object is expected");
    CHECK(refusal(" \n\t").field == "line 1");
    CHECK(refusal("{} x").field == "line 1");
    const Error huge = refusal("{\n\"a\": 1e999}");
    CHECK(huge.field == "line 2");
    CHECK(huge.message == "the number \"1e999\" is beyond what can be reckoned with; finite numbers are allowed");
    CHECK(refusal("{\"a\": \"\xff\"}").message == "a byte is not UTF-8; the file must be UTF-8 text");
}

TEST_CASE("numbers are written with the fewest digits, a point in every locale, and never as no number")
{
    const auto text = [](double x) { return jsonText(jsonNumber(x)); };
    CHECK(text(20) == "20.0");
    CHECK(text(-2.83) == "-2.83");
    CHECK(text(0.1) == "0.1");
    CHECK(text(1e-7) == "1e-07");
    CHECK(text(1e300) == "1e+300");
    CHECK(text(std::nan("")) == "null");
    CHECK(text(-std::numeric_limits<double>::infinity()) == "null");
    rc::prop("any double comes back to the bit", [](double x) {
        const auto back = parseJson(jsonText(jsonNumber(x)));
        RC_ASSERT(back.has_value());
        RC_ASSERT(std::get<JsonNumber>(back->value).value == x);
    });
}

TEST_CASE("any bytes as text are written as JSON that reads back")
{
    CHECK(validUtf8("a\xC3\xA9\xFF\xC0\x80\xED\xA0\x80z") == "a\u00E9\uFFFD\uFFFD\uFFFD\uFFFD\uFFFD\uFFFDz");
    rc::prop("any string", [](const std::string& text) {
        const auto back = parseJson(jsonText({text}));
        RC_ASSERT(back.has_value());
        RC_ASSERT(std::get<std::string>(back->value) == validUtf8(text));
    });
}

TEST_CASE("words for messages stay on one line")
{
    CHECK(quotedText("a\nb") == "\"a\\nb\"");
    CHECK(below("/a", "b/c~d\n") == "/a/b~1c~0d\\u000a");
    CHECK(quotedText(std::string(100, 'x')).size() < 50);
    CHECK(foundWords({std::string("abc")}) == "the text \"abc\"");
    CHECK(foundWords({JsonArray{}}) == "a list");
}

TEST_CASE("short flat objects stay on one line, others are spread")
{
    const auto value = parseJson(R"({"openings":[{"kind":"leak","q":7.0}],"empty":[]})");
    REQUIRE(value);
    CHECK(jsonText(*value) == "{\n  \"openings\": [\n    { \"kind\": \"leak\", \"q\": 7.0 }\n  ],\n  \"empty\": []\n}");
}
