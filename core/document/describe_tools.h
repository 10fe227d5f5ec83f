// SPDX-License-Identifier: GPL-3.0-or-later
// What the descriptions of describe.h are made of: words for choices, presence of lists, alternatives of a variant.
#pragma once

#include <array>
#include <string_view>
#include <utility>
#include <variant>

namespace portwright {

template <class E> using Word = std::pair<E, std::string_view>;

/// Whether a list or text must stand in the file, is always written but may be missing, or is written only when it
/// holds something.
enum class Presence { required, written, optional };

/// The alternative as it stands, or a fresh one in its place.
template <class T, class Variant> T& alternative(Variant& variant)
{
    if (!std::holds_alternative<T>(variant)) variant.template emplace<T>();
    return std::get<T>(variant);
}

/// The same by its place in the variant.
template <class Variant, std::size_t... I>
void setAlternative(Variant& variant, std::size_t place, std::index_sequence<I...>)
{
    if (variant.index() != place) ((place == I ? void(variant.template emplace<I>()) : void()), ...);
}
template <class... T> void setAlternative(std::variant<T...>& variant, std::size_t place)
{
    setAlternative(variant, place, std::index_sequence_for<T...>{});
}

}  // namespace portwright
