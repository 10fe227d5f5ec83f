// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/result.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <fmt/format.h>
#include <string>
#include <string_view>

namespace portwright {

inline bool isBlank(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n' || c == '\f' || c == '\v'; }

/// Walks through a text word by word, and says in which line something is wrong.
struct Words {
    std::string_view text;
    std::size_t at = 0;

    std::string_view next()
    {
        while (at < text.size() && isBlank(text[at]))
            ++at;
        const std::size_t from = at;
        while (at < text.size() && !isBlank(text[at]))
            ++at;
        return text.substr(from, at - from);
    }
    void skipLine() { at = std::min(text.find('\n', at), text.size()); }
    auto wrong(const std::string& message) const
    {
        const auto lines = std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n');
        return fail(fmt::format("line {}", lines + 1), message);
    }
};

/// A word of a file at a length that fits a sentence, nothing unprintable in it.
inline std::string quoted(std::string_view word)
{
    std::string shown;
    for (const char c : word.substr(0, 24))
        shown += c > 32 && c < 127 ? c : '?';
    return word.empty() ? "the end of the file" : "\"" + shown + (word.size() > 24 ? "...\"" : "\"");
}

/// The whole word as a finite number, the mark a point.
inline bool readNumber(std::string_view word, double& value)
{
    if (word.starts_with('+')) word.remove_prefix(1);
    const auto [end, trouble] = std::from_chars(word.data(), word.data() + word.size(), value);
    return trouble == std::errc{} && end == word.data() + word.size() && std::isfinite(value);
}

/// Upper and lower case of the first are alike; the second is in lower case.
inline bool sameWord(std::string_view word, std::string_view lower)
{
    return std::equal(word.begin(), word.end(), lower.begin(), lower.end(),
                      [](char a, char b) { return (a >= 'A' && a <= 'Z' ? a - 'A' + 'a' : a) == b; });
}

}  // namespace portwright
