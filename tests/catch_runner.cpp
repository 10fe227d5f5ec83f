// SPDX-License-Identifier: GPL-3.0-or-later
// Catch's own code, compiled once for every test program: it takes longer than any test file.
#define CATCH_CONFIG_RUNNER
#include "tests/catch_runner.h"

#include <catch2/catch.hpp>

int runTests(int argc, char** argv) { return Catch::Session().run(argc, argv); }
