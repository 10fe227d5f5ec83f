// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/chart.h"
#include "app/console/run.h"

#include <exception>
#include <iostream>

int main(int argc, char* argv[])
{
    using namespace portwright::console;
    try {
        return run({argv + 1, argv + argc}, std::cout, std::cerr, paintChart, paintTemplates);
    } catch (const std::exception& problem) {  // out of memory, at worst
        std::cerr << "portwright-cli: " << problem.what() << "\n";
        return wrongInput;
    }
}
