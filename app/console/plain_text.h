// SPDX-License-Identifier: GPL-3.0-or-later
// How the console's text is set: columns, wrapped sentences. Widths count characters, not bytes.
#pragma once

#include <string>
#include <vector>

namespace portwright::console {

using Row = std::vector<std::string>;

std::size_t widthOf(const std::string& text);
std::string padded(const std::string& text, std::size_t width);       ///< blanks after it
std::string rightPadded(const std::string& text, std::size_t width);  ///< blanks before it

/// Control characters, which would break a table or an error's one line, become blanks.
std::string oneLine(std::string text);

/// Columns three blanks apart, no blanks at the end of a line.
std::string tableText(const std::vector<Row>& rows);

/// Wrapped at blanks to a page's width of 100, all lines but the first set in as far as `first` reaches.
std::string wrapped(const std::string& first, const std::string& sentence);

std::string capital(std::string word);

}  // namespace portwright::console
