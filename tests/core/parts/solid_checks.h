// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/mesh/mesh.h"

#include <string>

namespace portwright::test {

/// One closed piece, each face the right way round and there once.
bool watertight(const Mesh& mesh);

/// Empty if admesh finds no fault in the mesh's STL file, else its report.
std::string faults(const Mesh& mesh);

/// Handles of a closed surface in one piece, by Euler's formula: a tube has one, and each screw hole adds one.
int handlesOf(const Mesh& mesh);

}  // namespace portwright::test
