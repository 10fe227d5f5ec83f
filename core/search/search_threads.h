// SPDX-License-Identifier: GPL-3.0-or-later
// The same work many times over, on several threads. Internal to the search.
#pragma once

#include "core/work.h"

#include <cstddef>
#include <functional>

namespace portwright::searching {

/// Of the progress of a search: the rest is the whole model of what is shown.
inline constexpr double reckoningPart = 0.9;

/// Does the jobs 0 to count - 1, each once, in no fixed order. `worker` gives each thread its own function, with what
/// it keeps from job to job. `threads`: at most so many, 0: what the machine has. Progress runs over the given part of
/// the watch. False where it was cancelled: some jobs are then not done.
bool onThreads(std::size_t count, int threads, const std::function<std::function<void(std::size_t)>()>& worker,
               const Watch& watch, std::string_view step, double from, double to);

}  // namespace portwright::searching
