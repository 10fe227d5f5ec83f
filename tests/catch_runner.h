// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

/// Runs the tests of a program by its arguments; what its main() returns.
int runTests(int argc, char** argv);
