// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/solved.h"

#include "core/document/json_text.h"

#include <algorithm>
#include <fmt/format.h>

namespace portwright::console {

namespace {

std::string idList(const Project& project)
{
    constexpr std::size_t most = 8;
    std::string list;
    for (std::size_t i = 0; i < project.housings.size() && i < most; ++i)
        list += (i ? ", " : "") + quotedText(project.housings[i].id);
    return list + (project.housings.size() > most ? " and more" : "");
}

}  // namespace

Error inHousing(Error error, std::size_t index)
{
    if (!error.field.starts_with('/'))
        error.field = fmt::format("/housings/{}{}{}", index, error.field.empty() ? "" : "/", error.field);
    return error;
}

Result<std::vector<std::size_t>> housingsNamed(const Project& project, const std::vector<std::string>& ids)
{
    std::vector<std::size_t> indices;
    if (project.housings.empty()) return fail("/housings", "housings is empty; at least one housing is expected");
    if (ids.empty())
        for (std::size_t i = 0; i < project.housings.size(); ++i)
            indices.push_back(i);
    for (const std::string& id : ids) {
        const auto found = std::find_if(project.housings.begin(), project.housings.end(),
                                        [&id](const Housing& h) { return h.id == id; });
        if (found == project.housings.end())
            return fail("/housings",
                        fmt::format("no housing has the id {}; there are {}", quotedText(id), idList(project)));
        const auto index = static_cast<std::size_t>(found - project.housings.begin());
        if (std::find(indices.begin(), indices.end(), index) == indices.end()) indices.push_back(index);
    }
    return indices;
}

Result<std::vector<SolvedHousing>> solveHousings(const Project& project, const std::vector<std::size_t>& indices,
                                                 const Grid& grid)
{
    std::vector<SolvedHousing> all;
    for (std::size_t index : indices) {
        const Housing& housing = project.housings[index];
        auto model = modelOf(project, index);
        if (!model) return fail(inHousing(model.error(), index));
        auto curves = curvesOf(*model, grid);
        if (!curves) return fail(inHousing(curves.error(), index));
        auto summary = summaryOf(*model);
        if (!summary) return fail(inHousing(summary.error(), index));
        all.push_back({housing.id, housing.name, std::move(*model), std::move(*curves), std::move(*summary)});
    }
    return all;
}

std::string nameOf(SystemKind kind)
{
    switch (kind) {
    case SystemKind::closed:
        return "closed";
    case SystemKind::vented:
        return "vented";
    case SystemKind::passive:
        return "passive";
    }
    return "closed";
}

}  // namespace portwright::console
