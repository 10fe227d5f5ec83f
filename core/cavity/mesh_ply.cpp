// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/mesh_formats.h"

#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/IO/PLY.h>

#include <cmath>
#include <exception>
#include <fmt/format.h>
#include <istream>
#include <streambuf>

namespace portwright {
namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;

struct Stopped : std::exception {};

/// Hands bytes out in portions, so that progress is told and a cancel is heard between two of them.
class WatchedBytes : public std::streambuf {
public:
    WatchedBytes(std::string_view bytes, const Watch& watch) : bytes_(bytes), watch_(watch) {}

protected:
    int_type underflow() override
    {
        if (isCancelled(watch_)) throw Stopped{};
        if (given_ == bytes_.size()) return traits_type::eof();
        report(watch_, 0.8 * static_cast<double>(given_) / static_cast<double>(bytes_.size()), "reading triangles");
        const std::size_t portion = std::min(bytes_.size() - given_, std::size_t{65536});
        char* from = const_cast<char*>(bytes_.data()) + given_;  // only read: the buffer's interface lacks const
        setg(from, from, from + portion);
        given_ += portion;
        return traits_type::to_int_type(*from);
    }

private:
    std::string_view bytes_;
    const Watch& watch_;
    std::size_t given_ = 0;
};

}  // namespace

Result<Mesh> meshFromPly(std::string_view bytes, const Watch& watch)
{
    std::vector<Kernel::Point_3> points;
    std::vector<std::vector<std::size_t>> polygons;
    WatchedBytes buffer(bytes, watch);
    std::istream in(&buffer);
    in.exceptions(std::ios::badbit);  // lets Stopped through
    const auto broken = [] {
        return fail("", "the PLY file is cut short, or what follows does not fit its head (a list of faces with "
                        "\"vertex_indices\" and corners with x, y, z are needed)");
    };
    try {
        if (!CGAL::IO::read_PLY(in, points, polygons, CGAL::parameters::verbose(false))) return broken();
    } catch (const Stopped&) {
        return cancelledWork();
    } catch (const std::exception&) {
        return broken();
    }
    Mesh mesh;
    for (const auto& p : points) {
        mesh.points.push_back({p.x(), p.y(), p.z()});
        if (!std::isfinite(p.x()) || !std::isfinite(p.y()) || !std::isfinite(p.z()))
            return fail("", fmt::format("corner {} of {} is not a finite number", mesh.points.size(), points.size()));
    }
    for (std::size_t i = 0; i < polygons.size(); ++i) {
        for (const std::size_t corner : polygons[i])
            if (corner >= points.size())
                return fail("", fmt::format("face {} names a corner that is not there; allowed is 0 to {}", i + 1,
                                            points.empty() ? 0 : points.size() - 1));
        if (polygons[i].size() < 3)
            return fail("", fmt::format("face {} has {} corners; at least 3 are needed", i + 1, polygons[i].size()));
        addFan(mesh, polygons[i]);
    }
    if (mesh.triangles.empty()) return fail("", "the file holds no face");
    return merged(mesh, watch);
}

}  // namespace portwright
