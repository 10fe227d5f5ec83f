// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace portwright {

/// Finds equal things among many by a number made of each (open addressing, several times faster than a standard
/// map at the millions of corners of a mesh). Holds places in a list of the caller's, at most the stated count.
class HashSlots {
public:
    explicit HashSlots(std::size_t count) : slots_(std::bit_ceil(count + count / 4 + 1), none) {}

    /// The place for which same(place) holds, or `next`, which is then entered.
    template <class Same> std::uint32_t placeOf(std::uint64_t hash, std::uint32_t next, const Same& same)
    {
        const std::size_t mask = slots_.size() - 1;
        // The multiplication carries every bit upwards, so the upper ones are taken.
        for (std::size_t slot = (hash * 0x9e3779b97f4a7c15u) >> 24 & mask;; slot = (slot + 1) & mask) {
            if (slots_[slot] == none) return slots_[slot] = next;
            if (same(slots_[slot])) return slots_[slot];
        }
    }

private:
    static constexpr std::uint32_t none = 0xffffffff;
    std::vector<std::uint32_t> slots_;
};

}  // namespace portwright
