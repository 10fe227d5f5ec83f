// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/compare_output.h"
#include "core/response/third_octaves.h"

#include <algorithm>
#include <cmath>

namespace portwright::console {

namespace {

Grid thirdOctaveGrid()
{
    const std::vector<double> centres = thirdOctaves(20, 2000);
    return gridOf(Eigen::Map<const Eigen::ArrayXd>(centres.data(), Eigen::Index(centres.size())));
}

Result<std::vector<ComparedPoint>> pointsOf(const Model& model)
{
    const auto curves = curvesOf(model, thirdOctaveGrid());
    if (!curves) return fail(curves.error());
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
    if (!indices) return fail(indices.error());
    const auto solved = solveHousings(project, *indices, logGrid(10, 2000, 400));
    if (!solved) return fail(solved.error());

    Comparison comparison;
    comparison.title = project.title;
    double loudest = -std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < solved->size(); ++i) {
        const SolvedHousing& h = (*solved)[i];
        auto points = pointsOf(h.model);
        if (!points) return fail(points.error());
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
