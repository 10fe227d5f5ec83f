// SPDX-License-Identifier: GPL-3.0-or-later
// Expected failures as values. The only mention of tl::, whose place C++23 can take in this header alone.
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

/// What a function that returns any Result returns in place of a value.
using Failure = tl::unexpected<Error>;

inline Failure fail(Error error) { return Failure(std::move(error)); }
inline Failure fail(std::string field, std::string message)
{
    return fail(Error{std::move(field), std::move(message)});
}

}  // namespace portwright
