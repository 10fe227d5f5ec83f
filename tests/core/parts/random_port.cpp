// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/core/parts/random_port.h"

#include <rapidcheck.h>

namespace portwright::test {

double between(int low, int high, double unit) { return *rc::gen::inRange(low, high + 1) * unit; }

PortOpening roundPort(double bore, double length)
{
    PortOpening port;
    port.diameter = bore, port.length = length;
    return port;
}

PortOpening slotPort(double width, double height, double length)
{
    PortOpening port;
    port.shape = PortShape::slot;
    port.width = width, port.height = height, port.length = length;
    return port;
}

PortOpening arbitraryPort()
{
    constexpr double tenth = 1e-4;  // m
    PortOpening port = *rc::gen::arbitrary<bool>() ? roundPort(between(200, 1200, tenth), 0)
                                                   : slotPort(between(200, 1200, tenth), between(200, 1200, tenth), 0);
    port.length = between(600, 4000, tenth);
    if (*rc::gen::arbitrary<bool>()) port.outerFlare = between(0, 300, tenth);
    if (*rc::gen::arbitrary<bool>()) port.innerFlare = between(0, 290, tenth);
    return port;
}

}  // namespace portwright::test
