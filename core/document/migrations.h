// SPDX-License-Identifier: GPL-3.0-or-later
// Old files climb by single steps on the raw tree before the reader sees them. Append only.
//
// Version 0 (tried out before the first release): flat keys. It differs from version 1 in
//   "volts"                    at the top, now feed.voltage_v
//   drivers[].sd_mm2           now sd_cm2
//   housings[].volume_l        now cavity.net_volume_l
//   housings[].leak_q          now the opening { "kind": "leak", "q": ... }, before the others
#pragma once

#include "core/document/json_text.h"

namespace portwright {

/// Brings the tree of an older version to the current one. Values of a wrong type are moved as they are: the reader
/// names them.
void migrate(JsonValue& root, int fromVersion);

}  // namespace portwright
