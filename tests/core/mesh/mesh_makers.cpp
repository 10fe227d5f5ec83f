// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/core/mesh/mesh_makers.h"

#include "core/constants.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <fmt/format.h>
#include <fstream>
#include <memory>
#include <unistd.h>

namespace portwright::test {
namespace {

std::uint32_t u32(int i) { return static_cast<std::uint32_t>(i); }

}  // namespace

Mesh boxMesh(double x, double y, double z)
{
    Mesh mesh;
    for (int i = 0; i < 8; ++i)
        mesh.points.push_back({i & 1 ? x : 0, i & 2 ? y : 0, i & 4 ? z : 0});
    mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                      {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
    return mesh;
}

Mesh cylinderMesh(double radius, double height, int n)
{
    Mesh mesh;
    for (int i = 0; i < n; ++i)
        for (const double z : {0.0, height})
            mesh.points.push_back({radius * std::cos(2 * pi * i / n), radius * std::sin(2 * pi * i / n), z});
    mesh.points.push_back({0, 0, 0});
    mesh.points.push_back({0, 0, height});
    const std::uint32_t bottom = u32(2 * n), top = bottom + 1;
    for (int i = 0; i < n; ++i) {
        const std::uint32_t a = u32(2 * i), b = u32(2 * ((i + 1) % n));
        mesh.triangles.insert(mesh.triangles.end(),
                              {{a, b, b + 1}, {a, b + 1, a + 1}, {bottom, b, a}, {top, a + 1, b + 1}});
    }
    return mesh;
}

Mesh uvSphere(double radius, int n)
{
    Mesh mesh;
    mesh.points = {{0, 0, radius}, {0, 0, -radius}};
    for (int i = 1; i < n; ++i)
        for (int j = 0; j < 2 * n; ++j) {
            const double theta = pi * i / n, phi = pi * j / n;
            mesh.points.push_back({radius * std::sin(theta) * std::cos(phi), radius * std::sin(theta) * std::sin(phi),
                                   radius * std::cos(theta)});
        }
    const auto at = [n](int i, int j) { return i == 0 ? 0 : i == n ? 1 : u32(2 + (i - 1) * 2 * n + j % (2 * n)); };
    for (int i = 0; i < n; ++i)
        for (int j = 0; j < 2 * n; ++j) {
            if (i < n - 1) mesh.triangles.push_back({at(i, j), at(i + 1, j), at(i + 1, j + 1)});
            if (i > 0) mesh.triangles.push_back({at(i, j), at(i + 1, j + 1), at(i, j + 1)});
        }
    return mesh;
}

Mesh torusMesh(double radius, double tube, int around, int n)
{
    Mesh mesh;
    for (int i = 0; i < around; ++i)
        for (int j = 0; j < n; ++j) {
            const double phi = 2 * pi * i / around, theta = 2 * pi * j / n, r = radius + tube * std::cos(theta);
            mesh.points.push_back({r * std::cos(phi), r * std::sin(phi), tube * std::sin(theta)});
        }
    const auto at = [=](int i, int j) { return u32(i % around * n + j % n); };
    for (int i = 0; i < around; ++i)
        for (int j = 0; j < n; ++j) {
            mesh.triangles.push_back({at(i, j), at(i + 1, j), at(i + 1, j + 1)});
            mesh.triangles.push_back({at(i, j), at(i + 1, j + 1), at(i, j + 1)});
        }
    return mesh;
}

Mesh joined(const Mesh& a, const Mesh& b)
{
    Mesh mesh = a;
    const auto from = static_cast<std::uint32_t>(a.points.size());
    mesh.points.insert(mesh.points.end(), b.points.begin(), b.points.end());
    for (const Triangle& t : b.triangles)
        mesh.triangles.push_back({t[0] + from, t[1] + from, t[2] + from});
    return mesh;
}

Mesh shifted(Mesh mesh, const Point3& by)
{
    for (Point3& p : mesh.points)
        for (std::size_t i = 0; i < 3; ++i)
            p[i] += by[i];
    return mesh;
}

Mesh scaled(Mesh mesh, double by)
{
    for (Point3& p : mesh.points)
        for (double& x : p)
            x *= by;
    return mesh;
}

Mesh turnedOver(Mesh mesh)
{
    for (Triangle& t : mesh.triangles)
        std::swap(t[1], t[2]);
    return mesh;
}

Mesh moved(const Mesh& mesh, std::uint32_t seed)
{
    std::mt19937 random(seed);
    std::normal_distribution<double> normal;
    Eigen::Quaterniond turn(normal(random), normal(random), normal(random), normal(random));
    turn.normalize();
    const Eigen::Vector3d shift = 1000 * Eigen::Vector3d(normal(random), normal(random), normal(random));
    Mesh out = mesh;
    for (Point3& p : out.points) {
        const Eigen::Vector3d q = turn * Eigen::Map<const Eigen::Vector3d>(p.data()) + shift;
        p = {q[0], q[1], q[2]};
    }
    std::shuffle(out.triangles.begin(), out.triangles.end(), random);
    return out;
}

std::string stlText(const Mesh& mesh)
{
    std::string text = "solid made for a test\n";
    for (const Triangle& t : mesh.triangles) {
        text += " facet normal 0 0 0\n  outer loop\n";
        for (const std::uint32_t i : t)
            text += fmt::format("   vertex {} {} {}\n", mesh.points[i][0], mesh.points[i][1], mesh.points[i][2]);
        text += "  endloop\n endfacet\n";
    }
    return text + "endsolid\n";
}

std::string objText(const Mesh& mesh)
{
    std::string text = "# made for a test\no cavity\n";
    for (const Point3& p : mesh.points)
        text += fmt::format("v {} {} {}\n", p[0], p[1], p[2]);
    for (const Triangle& t : mesh.triangles)
        text += fmt::format("f {} {} {}\n", t[0] + 1, t[1] + 1, t[2] + 1);
    return text;
}

std::string plyText(const Mesh& mesh)
{
    std::string text = fmt::format("ply\nformat ascii 1.0\nelement vertex {}\nproperty double x\nproperty double y\n"
                                   "property double z\nelement face {}\nproperty list uchar int vertex_indices\n"
                                   "end_header\n",
                                   mesh.points.size(), mesh.triangles.size());
    for (const Point3& p : mesh.points)
        text += fmt::format("{} {} {}\n", p[0], p[1], p[2]);
    for (const Triangle& t : mesh.triangles)
        text += fmt::format("3 {} {} {}\n", t[0], t[1], t[2]);
    return text;
}

std::string outputOf(const std::string& command)
{
    const auto close = [](FILE* pipe) { ::pclose(pipe); };
    const std::unique_ptr<FILE, decltype(close)> pipe(::popen((command + " 2>/dev/null").c_str(), "r"), close);
    std::string text;
    std::array<char, 4096> part{};
    while (pipe && std::fgets(part.data(), part.size(), pipe.get()))
        text += part.data();
    return text;
}

MeshFolder::MeshFolder()
{
    std::string name = (std::filesystem::temp_directory_path() / "portwright-scan-XXXXXX").string();
    if (::mkdtemp(name.data())) path_ = name;
}

MeshFolder::~MeshFolder()
{
    std::error_code ignored;
    if (!path_.empty()) std::filesystem::remove_all(path_, ignored);
}

std::filesystem::path MeshFolder::write(std::string_view name, std::string_view bytes) const
{
    const std::filesystem::path file = path_ / name;
    std::ofstream(file, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    return file;
}

}  // namespace portwright::test
