// SPDX-License-Identifier: GPL-3.0-or-later
// Expected failures as values. The only mention of tl::expected; C++23 changes this header alone.
#pragma once

#include <string>
#include <tl/expected.hpp>
#include <utility>

namespace portwright {

/// What went wrong with an input: where (a field, JSON pointer or line; may be empty), and one clear
/// sentence that says what was found and what is allowed.
struct Error {
    std::string field;
    std::string message;
    bool operator==(const Error&) const = default;
};

template <class T> using Result = tl::expected<T, Error>;

inline auto fail(std::string field, std::string message)
{
    return tl::unexpected(Error{std::move(field), std::move(message)});
}

}  // namespace portwright
