// SPDX-License-Identifier: GPL-3.0-or-later
// Meshes of known bodies, in the unit the caller likes, and files of them.
#pragma once

#include "core/mesh/mesh.h"

#include <cstdint>
#include <filesystem>
#include <random>
#include <string>
#include <string_view>

namespace portwright::test {

Mesh boxMesh(double x, double y, double z);                     ///< corner at 0, 12 triangles
Mesh cylinderMesh(double radius, double height, int n);         ///< upright on 0, n sides
Mesh uvSphere(double radius, int n);                            ///< n steps of latitude, 2n of longitude, inscribed
Mesh torusMesh(double radius, double tube, int around, int n);  ///< about z, inscribed

Mesh joined(const Mesh& a, const Mesh& b);
Mesh shifted(Mesh mesh, const Point3& by);
Mesh scaled(Mesh mesh, double by);
Mesh turnedOver(Mesh mesh);                        ///< inside out
Mesh moved(const Mesh& mesh, std::uint32_t seed);  ///< turned and shifted at random, faces shuffled

/// Without the triangles whose middle the test picks.
template <class Pick> Mesh without(Mesh mesh, const Pick& pick)
{
    std::erase_if(mesh.triangles, [&](const Triangle& t) {
        Point3 middle{0, 0, 0};
        for (const std::uint32_t i : t)
            for (std::size_t k = 0; k < 3; ++k)
                middle[k] += mesh.points[i][k] / 3;
        return pick(middle);
    });
    return mesh;
}

std::string stlText(const Mesh& mesh);
std::string objText(const Mesh& mesh);
std::string plyText(const Mesh& mesh);

/// What a program of the test packages prints.
std::string outputOf(const std::string& command);

/// A folder of its own, removed at the end.
class MeshFolder {
public:
    MeshFolder();
    ~MeshFolder();
    MeshFolder(const MeshFolder&) = delete;
    MeshFolder& operator=(const MeshFolder&) = delete;
    std::filesystem::path write(std::string_view name, std::string_view bytes) const;
    const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

}  // namespace portwright::test
