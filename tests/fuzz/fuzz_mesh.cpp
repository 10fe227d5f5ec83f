// SPDX-License-Identifier: GPL-3.0-or-later
// Any bytes as a mesh file: a sentence, or a mesh that is repaired, closed and measured without a crash, each number
// finite. The first byte chooses the file's ending.
#include "core/mesh/mesh_file.h"
#include "core/mesh/scan.h"

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace portwright;

namespace {

void require(bool holds)
{
    if (!holds) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    if (size == 0) return 0;
    constexpr std::string_view endings[] = {".stl", ".obj", ".ply", ""};
    const std::string_view bytes(reinterpret_cast<const char*>(data) + 1, size - 1);
    const auto mesh = meshFromBytes(bytes, endings[data[0] % 4]);
    if (!mesh) {
        require(!mesh.error().message.empty() && mesh.error().message.find('\n') == std::string::npos);
        return 0;
    }
    for (const Triangle& t : mesh->triangles)
        for (const std::uint32_t i : t)
            require(i < mesh->points.size());
    const auto scan = scanOf(*mesh, {.unit = data[0] & 4 ? std::optional(1e-3) : std::nullopt,
                                     .wall = data[0] & 8 ? std::optional(3e-3) : std::nullopt});
    if (!scan) {
        require(!scan.error().message.empty());
        return 0;
    }
    require(scan->volume > 0 && std::isfinite(scan->volume) && std::isfinite(scan->uncertainty));
    require(std::isfinite(scan->area) && std::isfinite(scan->longest) && scan->longest > 0);
    for (std::size_t i = 0; i < scan->profile.at.size(); ++i)
        require(std::isfinite(scan->profile.at[i]) && scan->profile.area[i] >= 0 &&
                std::isfinite(scan->profile.area[i]) && std::isfinite(scan->profile.perimeter[i]));
    return 0;
}
