// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/port_cut.h"

#include "core/port/geometry.h"

#include <algorithm>
#include <cmath>

namespace portwright {

Result<SizedPort> lengthInHousing(const Model& model, std::size_t opening, double tuning)
{
    const auto& port = std::get<PortOpening>(model.housing.openings[opening].kind);
    const TuningOfCut exact = tuningOfCut(model, int(opening));
    CavityRoom empty = roomOf(model.housing.cavity);
    empty.netVolume += outlineVolume(port);
    const TuningOfCut lines = tuningOfCut(port, empty, model.air);
    const auto now = exact.tuning({port.length, 1, 0}), byLines = lines.tuning({port.length, 1, 0});
    if (!now || !byLines || !(*now > 0)) return lengthFor(tuning, exact);
    const double ratio = *byLines / *now;
    auto found = lengthFor(tuning * ratio, lines);
    for (int i = 0; found && i < 6; ++i) {
        const auto there = exact.tuning({found->length, 1, 0});
        if (!there || !(found->tuningPerLength < 0)) break;
        found->tuning = *there;
        if (std::abs(*there / tuning - 1) < 1e-6) {
            found->tuningPerLength /= ratio;
            return found;
        }
        const double length = found->length - (*there - tuning) * ratio / found->tuningPerLength;
        if (exact.whyNot(length)) break;
        found->length = length;
    }
    return lengthFor(tuning,
                     exact);  // at the end of what is possible: every step, and the sentence where there is none
}

std::optional<std::size_t> portToTune(const Housing& housing)
{
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < housing.openings.size(); ++i) {
        const Opening& o = housing.openings[i];
        if (!std::holds_alternative<PortOpening>(o.kind) || o.cavity.value_or(CavityId::main) == CavityId::second)
            continue;
        if (found) return {};
        found = i;
    }
    return found;
}

void cutPort(Project& project, std::size_t housing, std::size_t opening, double length)
{
    if (housing >= project.housings.size() || opening >= project.housings[housing].openings.size()) return;
    Opening& at = project.housings[housing].openings[opening];
    auto* port = std::get_if<PortOpening>(&at.kind);
    if (!port) return;
    const PortOpening cut = cutTo(*port, std::round(length * 1e4) / 1e4);
    const bool second =
        at.cavity.value_or(CavityId::main) == CavityId::second && project.housings[housing].secondCavity;
    Cavity& cavity = second ? project.housings[housing].secondCavity->cavity : project.housings[housing].cavity;
    const double change = outlineVolume(*port) - outlineVolume(cut);
    if (cavity.netVolume > 0 && cavity.netVolume + change > 0)
        cavity.netVolume = std::round((cavity.netVolume + change) * 1e9) / 1e9;  // 1 mm3: no longer a tail of digits
    *port = cut;
}

}  // namespace portwright
