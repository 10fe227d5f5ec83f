// SPDX-License-Identifier: GPL-3.0-or-later
// The main() of test programs that need no window system.
#include "tests/catch_runner.h"

int main(int argc, char** argv) { return runTests(argc, argv); }
