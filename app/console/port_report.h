// SPDX-License-Identifier: GPL-3.0-or-later
// What the command `port` finds out: tuning and place of the ports there are, a length or a tuning, a search, a trim.
#pragma once

#include "app/console/loudness_output.h"
#include "app/console/port_command.h"
#include "app/console/run.h"
#include "core/document/project.h"
#include "core/port/free_run.h"
#include "core/sizing/alignment_place.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright::console {

/// A port as it is, or as it is asked for.
struct PortFigures {
    int opening = 0;  ///< index
    int number = 1;   ///< among the ports of the housing, counted from 1, as the window and parts.txt do
    PortOpening port;
    bool second = false;              ///< in the second cavity
    double tuning = 0, textbook = 0;  ///< Hz; by the model (0: friction leaves none), and by the textbook sums
    bool shared = false;              ///< both are of all ports of its cavity together, and there are others
    double perLength = 0;             ///< Hz/m
    double spread = 0;                ///< Hz, for the tolerance of the length
    double assumedShape = 0;     ///< relative: how far the tuning may be off since the cavity's sizes are not known
    double taken = 0, left = 0;  ///< m3: what it takes of the cavity, and what is left
    double airLimit = 0;         ///< m/s peak, recommended for its flares
    double loudest = 0;          ///< dB at the tuning, the loudest that passes no limit; infinite: nothing limits it
    LimitKind limit = LimitKind::none;  ///< what stops it there
    std::optional<RunTrouble> run;      ///< why it does not go into the run that was measured for it
};

struct HousingPorts {
    std::string id, name;
    std::vector<PortFigures> ports;  ///< of all cavities, in file order
    AlignmentPlace place;
    std::optional<PortFigures> sized;    ///< --tune or --length
    bool byTuning = false;               ///< --tune
    std::optional<double> statedVolume;  ///< m3, of the sized port's cavity where the file states it
    std::optional<SearchResult> search;
    double straight = 0;           ///< m, the run that the search reckoned with
    std::optional<double> across;  ///< likewise; nothing: by the cavity's sizes
    std::vector<Aim> aims;         ///< of the search
    std::optional<FastBand> band;
    std::optional<PortLoudness> loudness;
    std::optional<TrimPlan> trim;
    double trimTarget = 0;             ///< Hz
    std::vector<CutReading> readings;  ///< that the trim goes by
    bool readingsOfFile = false;
    std::string made;                  ///< which port its parts are of
    std::vector<PartFile> files;       ///< parts made
    std::vector<std::string> written;  ///< of them, paths
    std::vector<std::string> remarks;
    std::vector<std::string> warnings;  ///< for standard error
};

/// Among the ports of all cavities, counted from 1.
int numberOf(const Housing& housing, int opening);

/// Errors: field is the project's file with a JSON pointer in it, or a file of its own (stock, folder of parts).
Result<std::vector<HousingPorts>> portReport(const std::string& file, const Project& project, PortWanted wanted,
                                             const PaintTemplates& paintTemplates);

std::string portText(const std::vector<HousingPorts>& housings);
std::string portJson(const std::vector<HousingPorts>& housings);

}  // namespace portwright::console
