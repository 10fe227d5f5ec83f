// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/scan.h"

namespace portwright {

ScanMeasurement measurementOf(const Scan& scan, std::string file)
{
    return {.file = std::move(file),
            .unit = scan.unit,
            .wall = scan.wall,
            .volume = scan.volume,
            .uncertainty = scan.uncertainty,
            .profile = scan.profile,
            .longest = scan.longest};
}

}  // namespace portwright
