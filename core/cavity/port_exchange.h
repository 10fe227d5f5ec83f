// SPDX-License-Identifier: GPL-3.0-or-later
// Another port in a cavity that was measured: what its net volume is then.
#pragma once

#include "core/cavity/net_volume.h"

namespace portwright {

struct PortExchange {
    Housing housing;                 ///< as it stands in the job: measurements stay measurements
    std::vector<std::string> notes;  ///< whole sentences: what the net volume is now taken from, where it is not plain
};

/// `housing`, as it stands in the job, with `port` in place of its port `opening` (-1: beside the others, in the main
/// cavity); without a `port` that opening is closed. Air that the old port took inside is given back, what the new one
/// takes comes off:
/// - Measured as a bare shell: by one port deduction without a number, which takes off whatever ports there are; port
///   deductions with numbers give way to it. Net volume and its uncertainty then follow the port.
/// - Net volume stated, or a reading used that saw everything in place (the resonances always do): the number is
///   stated anew, present net volume + old outline - new outline (outlineVolume() of core/port/geometry.h), and a note
///   says so. A known uncertainty is kept, 10 % of what changed added to it (common practice, no source).
/// Errors: those of netVolumeOf(); field is a key inside the housing. No air left: "cavity/net_volume_l".
Result<PortExchange> exchangedPort(const Housing& housing, int opening, const std::optional<PortOpening>& port,
                                   const CompleteDriver& driver, const Air& air, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
