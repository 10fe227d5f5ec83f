// SPDX-License-Identifier: GPL-3.0-or-later
// What the path strip says of each station: what it is with the chosen housing, or what is wrong there;
// a housing that fares worse is told in the tip.
#pragma once

#include "app/desktop/components/path_strip.h"
#include "app/desktop/session/workbench.h"

#include <array>

namespace portwright {

struct StationAt {
    StationState state;
    std::string housing;  ///< id of the housing that something is wrong with
    QString field;        ///< the value at fault there
};

std::array<StationAt, stationCount> stationsOf(Workbench& workbench);

/// Which station a verdict's subject belongs to.
Station stationOf(const Verdict& verdict);
/// Which station an error's JSON pointer belongs to.
Station stationOf(const Error& error);
/// Missing, where the value that the error points to is not there yet; else what is given cannot be.
Mark markOf(const Error& error, const Project& project);
/// The row that an error's JSON pointer belongs to, as verdicts name it: "openings/0/length_mm", "driver/fs_hz".
QString rowOf(const Error& error);
/// The sentence of an error, with its full stop.
QString sentenceOf(const Error& error);
/// The station and field that a cause of the ledger is set by.
std::pair<Station, QString> placeOf(Cause cause, const Computed& computed);

}  // namespace portwright
