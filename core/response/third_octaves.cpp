// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/third_octaves.h"

namespace portwright {

std::vector<double> thirdOctaves(double from, double to)
{
    std::vector<double> centres;
    for (const double f : {20.0,  25.0,  31.5,  40.0,  50.0,  63.0,  80.0,   100.0,  125.0,  160.0, 200.0,
                           250.0, 315.0, 400.0, 500.0, 630.0, 800.0, 1000.0, 1250.0, 1600.0, 2000.0})
        if (f >= from && f <= to) centres.push_back(f);
    return centres;
}

}  // namespace portwright
