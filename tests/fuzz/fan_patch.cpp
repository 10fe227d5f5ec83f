// SPDX-License-Identifier: GPL-3.0-or-later
// Every opening closed by a fan: clang 19 does not compile CGAL 5.5, and the fuzzer is clang's. What CGAL does with
// damaged meshes is tried by the random bytes of tests/core/mesh/scan_faults_test.cpp under the sanitizers of
// GCC.
#include "core/mesh/mesh_patch.h"

namespace portwright {

Patch patchOf(const std::vector<Point3>& rim)
{
    Patch patch{.triangles = {}, .fan = true, .centre = {0, 0, 0}};
    const auto edges = static_cast<std::uint32_t>(rim.size());
    for (std::uint32_t i = 0; i < edges; ++i) {
        patch.triangles.push_back({i, (i + 1) % edges, edges});
        for (std::size_t k = 0; k < 3; ++k)
            patch.centre[k] += rim[i][k] / edges;
    }
    return patch;
}

}  // namespace portwright
