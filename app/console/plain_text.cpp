// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/plain_text.h"

#include <algorithm>

namespace portwright::console {

std::size_t widthOf(const std::string& text)
{
    return static_cast<std::size_t>(
        std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string oneLine(std::string text)
{
    std::replace_if(
        text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; }, ' ');
    return text;
}

std::string padded(const std::string& text, std::size_t width)
{
    return text + std::string(width - std::min(width, widthOf(text)), ' ');
}

std::string rightPadded(const std::string& text, std::size_t width)
{
    return std::string(width - std::min(width, widthOf(text)), ' ') + text;
}

std::string tableText(const std::vector<Row>& rows)
{
    std::vector<std::size_t> widths;
    for (const Row& row : rows)
        for (std::size_t i = 0; i < row.size(); ++i) {
            if (i == widths.size()) widths.push_back(0);
            widths[i] = std::max(widths[i], widthOf(row[i]));
        }
    std::string text;
    for (const Row& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i)
            line += padded(row[i], widths[i] + 3);
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    return text;
}

std::string wrapped(const std::string& first, const std::string& sentence)
{
    constexpr std::size_t pageWidth = 100;
    const std::string indent(widthOf(first), ' ');
    std::string text, line = first;
    for (std::size_t at = 0; at <= sentence.size();) {
        const std::size_t end = std::min(sentence.find(' ', at), sentence.size());
        const std::string word = sentence.substr(at, end - at);
        if (widthOf(line) + 1 + widthOf(word) > pageWidth && line != first && line != indent) {
            text += line + "\n";
            line = indent;
        }
        line += (line == first || line == indent ? "" : " ") + word;
        at = end + 1;
    }
    return text + line + "\n";
}

std::string capital(std::string word)
{
    if (!word.empty() && word[0] >= 'a' && word[0] <= 'z') word[0] = static_cast<char>(word[0] - 'a' + 'A');
    return word;
}

}  // namespace portwright::console
