// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/compare_output.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace portwright::console {

namespace {

constexpr std::array thirdOctaves{20.0,  25.0,  31.5,  40.0,  50.0,  63.0,  80.0,   100.0,  125.0,  160.0, 200.0,
                                  250.0, 315.0, 400.0, 500.0, 630.0, 800.0, 1000.0, 1250.0, 1600.0, 2000.0};

Grid thirdOctaveGrid() { return gridOf(Eigen::Map<const Eigen::ArrayXd>(thirdOctaves.data(), thirdOctaves.size())); }

Result<std::vector<ComparedPoint>> pointsOf(const Model& model)
{
    const auto curves = curvesOf(model, thirdOctaveGrid());
    if (!curves) return tl::unexpected(curves.error());
    const LimitCurves limits = limitsOf(model, *curves);
    std::vector<ComparedPoint> points;
    points.reserve(static_cast<std::size_t>(curves->frequency.size()));
    for (Eigen::Index i = 0; i < curves->frequency.size(); ++i)
        points.push_back(
            {curves->frequency[i], curves->level[i], limits.loudest[i], limits.limit[static_cast<std::size_t>(i)]});
    return points;
}

// Only the named quantities are shown, so one frequency will do.
std::optional<Uncertainty> rangesOf(const Project& project, std::size_t housing)
{
    auto u = uncertaintyOf(project, housing, logGrid(100, 100, 1));
    if (!u || u->inputs.empty()) return std::nullopt;
    return std::move(*u);
}

}  // namespace

Result<Comparison> comparisonOf(const Project& project)
{
    const auto indices = housingsNamed(project, {});
    if (!indices) return tl::unexpected(indices.error());
    const auto solved = solveHousings(project, *indices, logGrid(10, 2000, 400));
    if (!solved) return tl::unexpected(solved.error());

    Comparison comparison;
    comparison.title = project.title;
    double loudest = -std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < solved->size(); ++i) {
        const SolvedHousing& h = (*solved)[i];
        auto points = pointsOf(h.model);
        if (!points) return tl::unexpected(points.error());
        loudest = std::max(loudest, loudestShown(h.curves));
        comparison.housings.push_back({h.id, h.name, h.summary, std::move(*points),
                                       verdictsOf(h.model, h.curves, h.summary), rangesOf(project, (*indices)[i]),
                                       leftOutOfRanges(h.model)});
    }
    comparison.cautions = cautions(loudest);
    for (std::string& note : airNotes(project.air.value_or(AirConditions{})))
        comparison.cautions.push_back(std::move(note));
    return comparison;
}

}  // namespace portwright::console
