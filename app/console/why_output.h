// SPDX-License-Identifier: GPL-3.0-or-later
// "Where the bass went", the account of decibels of each housing, as text and JSON.
#pragma once

#include "core/document/project.h"
#include "core/response/ledger.h"

#include <string>
#include <vector>

namespace portwright::console {

struct HousingLedger {
    std::string id, name;
    Ledger ledger;
};

/// Errors: field is a JSON pointer.
Result<std::vector<HousingLedger>> ledgersOf(const Project& project, const std::vector<std::size_t>& indices,
                                             double frequency);

std::string whyText(const std::vector<HousingLedger>& housings);
std::string whyJson(const std::vector<HousingLedger>& housings);

}  // namespace portwright::console
