// SPDX-License-Identifier: GPL-3.0-or-later
// What a search for a port is asked for beside what the job holds: a sheet of wishes, as long as the window lives.
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/search/search.h"
#endif

#include <optional>

namespace portwright {

struct SearchWishes {
    enum class List { metric, inch, both, own } list = List::metric;
    PortStock own;  ///< read from a file
    enum class Shapes { both, tubes, panels } shapes = Shapes::both;
    bool flares = true;
    enum class SharedWalls { none, any, one, two, three } sharedWalls = SharedWalls::none;  ///< of a slot
    std::optional<double> mostTubes;                                                        ///< default 2
    std::optional<int> mostBends;                 ///< 0..2, default by spaceOf()
    std::optional<double> clearance;              ///< bores, default one
    std::optional<double> outside;                ///< m, default as now
    Aim aim = Aim::loudest;                       ///< the one that counts most
    std::optional<double> bandFrom, bandTo;       ///< Hz, default as FastBand
    std::optional<double> tuningFrom, tuningTo;   ///< Hz, default 0.6 and 1.4 of the driver's fs
    std::optional<double> portAir;                ///< m/s, default the job's
    bool airByFlares = false;                     ///< without portAir: what its flares allow each port
    std::optional<double> leastLevel, highestF3;  ///< dB, Hz
    bool cleanAtFeed = false;
    bool operator==(const SearchWishes&) const = default;
};

/// The request for a housing whose port `opening` (-1: none) is to be replaced.
SearchRequest requestOf(const SearchWishes& wishes, const Model& model, int opening);

/// Index of the port that a search replaces: the first of the main cavity; -1: there is none.
int openingToReplace(const Housing& housing);

}  // namespace portwright
