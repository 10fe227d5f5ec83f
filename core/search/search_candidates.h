// SPDX-License-Identifier: GPL-3.0-or-later
// Everything that can be made of a stock, length by length, and why the rest cannot. Internal to the search.
#pragma once

#include "core/search/search_order.h"

namespace portwright::searching {

std::string groupName(const PortFamily& family);  ///< "2 x 50 mm port tube"

struct FamilyResult {
    explicit FamilyResult(const std::vector<Aim>& aims) : failing(aims) {}
    Front failing;  // in the wanted range, but short of a demand
    std::vector<RejectedPorts> rejected;
    std::optional<SearchCandidate> nearest;  // the longest that fits where that is too short
    std::size_t candidates = 0;
};

/// Places in the list of families at which a group begins, which are alike but for their flares, and the list's end.
std::vector<std::size_t> groupsOf(const std::vector<PortFamily>& families);

/// All candidates of one group, first to end. Those that meet all demands go to `front`. `known`: modes'
/// sums kept from group to group.
std::vector<FamilyResult> searchGroup(const FastModel& fast, const SearchRequest& request, const Air& air,
                                      const std::vector<PortFamily>& families, std::size_t first, std::size_t end,
                                      ModeSums& known, Front& front);

}  // namespace portwright::searching
