// SPDX-License-Identifier: GPL-3.0-or-later
// The options of the command `port`, and what they ask for.
#pragma once

#include "app/console/run.h"
#include "core/parts/part_options.h"
#include "core/search/search.h"
#include "core/sizing/trimming.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace portwright::console {

/// As typed.
struct PortCommandOptions {
    std::vector<std::string> given;  ///< names of the options with a value
    std::string project, opening, tune, length, tolerance = "1";
    std::vector<std::string> housings;
    bool search = false, clean = false, loudness = false;
    std::string aims = "loudest,f3,short", band = "60-160", tuning, stock = "metric", tubes = "2", bends,
                sharedWalls = "0";
    std::string straight, across, mouth, wall, outside, clearance = "1", level, f3, air, step = "1", show = "12";
    std::string trim, volumeUncertainty = "5", readAs = "dip";
    std::vector<std::string> measured;
    std::string parts, take = "1", paper = "a4", printer = "200", cutLong = "0", format = "text";
};

/// The arguments with each reading behind its own --measured, where several follow one.
std::vector<std::string> readingsApart(const std::vector<std::string>& arguments);

/// As meant.
struct PortWanted {
    std::vector<std::string> housings;
    std::optional<int> opening;           ///< index; default the first port, one of the main cavity before others
    std::optional<double> tune, length;   ///< Hz, m
    double tolerance = 1e-3;              ///< m, what a length is out by
    std::optional<SearchRequest> search;  ///< without its space; stock unless a file
    struct Space {                        ///< what was typed of it; the rest is the cavity's
        RoomForPort room;
        std::optional<double> outside;  ///< m
        std::optional<int> mostBends;
        double clearance = usualClearance;
    };
    Space space;
    std::optional<std::string> stockFile;  ///< a table of one's own
    std::optional<PortStock> stock;        ///< that parts are cut from, where it was named; not read from a file yet
    struct Trim {
        double target = 0;                 ///< Hz
        std::vector<CutReading> readings;  ///< empty: those of the file
        double volumeUncertainty = 0.05;   ///< relative
    };
    std::optional<Trim> trim;
    bool loudness = false;  ///< what ports give up as they play louder
    std::optional<std::filesystem::path> parts;
    std::size_t take = 1;  ///< of the ports found, counted from 1: the one whose parts are made
    PartOptions partOptions;
    TemplatePaper paper = TemplatePaper::a4;
    /// Asks something of one housing.
    bool forOne() const { return opening || tune || length || search || trim || parts; }
};

/// Errors: one sentence that names the option; wrong usage.
Result<PortWanted> portWanted(const PortCommandOptions& options);

}  // namespace portwright::console
