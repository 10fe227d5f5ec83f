// SPDX-License-Identifier: GPL-3.0-or-later
// Changes of the list of housings and drivers, as functions of the project alone.
#pragma once

#include "app/desktop/components/card/new_housing_card.h"
#include "core/document/project.h"

#include <QString>

#include <optional>
#include <string>

namespace portwright {

std::string freshHousingId(const Project& project);
std::string freshDriverId(const Project& project);

/// A housing as the new card describes it, and a remark on it ("Ø 68 mm, 150 mm long") or why it cannot be.
struct Candidate {
    std::optional<Housing> housing;
    QString remark;
};
/// `like`: the chosen housing, whose driver, wiring and feed are taken over (and everything for a copy).
Candidate candidateFrom(const Project& project, const NewHousing& wish, std::optional<std::size_t> like);

/// Appends it; with no driver in the project, an empty one is made for it.
void append(Project& project, Housing housing);
Housing copyOf(const Project& project, std::size_t index);
void move(Project& project, std::size_t from, std::size_t to);
/// Takes a driver away unless a housing still needs it.
bool removeDriver(Project& project, const std::string& id);

/// A port that tunes `volume` (m3) to `fb`: starting bore by the stated rule, made smaller until it is at most 0.3 m
/// long.
Result<PortOpening> startingPort(const Project& project, const std::string& driver, int drivers, double volume,
                                 double fb);

}  // namespace portwright
