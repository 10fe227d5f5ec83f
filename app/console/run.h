// SPDX-License-Identifier: GPL-3.0-or-later
// The console program without its main: arguments in, text out. Knows no Qt, so that it runs where there is no display.
#pragma once

#include "core/document/project.h"
#include "core/parts/part_set.h"
#include "core/result.h"

#include <filesystem>
#include <functional>
#include <iosfwd>
#include <string>
#include <vector>

namespace portwright::console {

/// Exit codes of the program's contract.
enum ExitCode { done = 0, wrongInput = 1, wrongUsage = 2 };

enum class ImageFormat { png, svg, pdf };

struct ChartRequest {
    std::vector<std::string> housings;  ///< ids, empty: all
    ImageFormat format = ImageFormat::png;
    int width = 0, height = 0;  ///< px
};

/// Paints a chart into the bytes of a file; handed in, because painting needs Qt.
using PaintChart = std::function<Result<std::string>(const Project&, const ChartRequest&)>;

enum class TemplatePaper { a4, letter };

/// Paints templates as PDF files of the same names, one for each; handed in likewise. Empty: no PDF is made.
using PaintTemplates = std::function<Result<std::vector<PartFile>>(const std::vector<PartTemplate>&, TemplatePaper)>;

/// Runs one command. `arguments` are without the program's name. Results go to `out` in one piece, messages to `err`.
ExitCode run(const std::vector<std::string>& arguments, std::ostream& out, std::ostream& err,
             const PaintChart& paintChart, const PaintTemplates& paintTemplates = {});

}  // namespace portwright::console
