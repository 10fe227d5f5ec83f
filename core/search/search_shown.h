// SPDX-License-Identifier: GPL-3.0-or-later
// What of a search is shown: its best, reckoned again by the whole model, with their reasons. Internal to the search.
#pragma once

#include "core/search/search_candidates.h"

namespace portwright::searching {

/// What is shown of a front; from `inOrder` on those that stand behind the order.
struct Chosen {
    std::vector<SearchCandidate> list;
    std::size_t inOrder = 0;
};
/// At most as many as are to be shown: down the order, no two of one family within a tenth of their length, and behind
/// them those of the best in one aim that are not among them: extremes, to see what an aim by itself would come to. How
/// many are asked for changes where the order ends, not what stands in it.
Chosen chosen(const Front& front, const SearchRequest& request);

/// The nearest that can be built where nothing fits: short of a demand, or of the lowest tuning wanted.
std::vector<SearchCandidate> nearestOf(const std::vector<FamilyResult>& results, const SearchRequest& request);

/// Reckoned by the whole model, in the same order. Errors: as curvesOf(), "cancelled".
Result<std::vector<FoundPort>> shownFully(const Model& model, int opening, const SearchRequest& request,
                                          const std::vector<PortFamily>& families,
                                          const std::vector<SearchCandidate>& list, const Watch& watch);

/// The port `opening` of the model as it is. Errors: as curvesOf().
Result<FoundPort> presentPort(const Model& model, int opening, const SearchRequest& request, const FastModel& fast);

/// Where each is the best of the front, and why it is there.
void giveReasons(std::vector<FoundPort>& ranked, const Chosen& chosen, const Front& front,
                 const SearchRequest& request);
/// Small's rule, which is told once where all that are shown fail it; nothing where they differ in it, or none does.
std::optional<std::string> mouthNote(const std::vector<FoundPort>& ranked, UnitSystem units);
void addCompromiseWords(std::vector<FoundPort>& ports, const SearchRequest& request);

/// What was left out, one line for each group where a reason is the same with and without flares; what nearly fits
/// first.
std::vector<RejectedPorts> told(const std::vector<PortFamily>& families, const std::vector<FamilyResult>& results);

}  // namespace portwright::searching
