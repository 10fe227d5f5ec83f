// SPDX-License-Identifier: GPL-3.0-or-later
// A project that must be read, and one that must be refused.
#pragma once

#include "core/document/project_file.h"

#include <catch2/catch.hpp>

namespace portwright {

inline LoadedProject load(const std::string& text)
{
    auto loaded = parseProject(text);
    INFO((loaded ? "" : loaded.error().field + ": " + loaded.error().message));
    REQUIRE(loaded);
    return *loaded;
}

/// What is said of a text that no project can be read from.
inline Error refusal(const std::string& text)
{
    const auto loaded = parseProject(text);
    INFO(text);
    REQUIRE(!loaded);
    return loaded.error();
}

/// What is said of `text` with the first `from` made `to`.
inline Error refusedWith(std::string text, const std::string& from, const std::string& to)
{
    INFO(from << " -> " << to);
    REQUIRE(text.find(from) != std::string::npos);
    return refusal(text.replace(text.find(from), from.size(), to));
}

}  // namespace portwright
