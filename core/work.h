// SPDX-License-Identifier: GPL-3.0-or-later
// Long work: how it is watched, and how it is stopped.
#pragma once

#include "core/result.h"

#include <functional>
#include <string_view>

namespace portwright {

/// Handed to functions that may take longer than half a second. Both are called on the working thread, often enough
/// that a cancel takes effect within 0.1 s where the work offers such a place; either may be empty.
struct Watch {
    std::function<void(double fraction, std::string_view step)> progress;  ///< 0..1, and what is being done
    std::function<bool()> cancelled;
};

inline bool isCancelled(const Watch& watch) { return watch.cancelled && watch.cancelled(); }
inline void report(const Watch& watch, double fraction, std::string_view step)
{
    if (watch.progress) watch.progress(fraction, step);
}

/// The error of a work that was stopped: its field is "cancelled".
inline auto cancelledWork() { return fail("cancelled", "stopped before it was finished"); }

}  // namespace portwright
