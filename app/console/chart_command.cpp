// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/command.h"

#include "app/console/solved.h"
#include "core/document/json_text.h"
#include "core/document/whole_file.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <fmt/format.h>
#include <memory>

namespace portwright::console {

namespace {

struct ChartOptions {
    std::string project, output, size = "1600x1131";
    std::vector<std::string> housings;
};

Result<ChartRequest> chartRequest(const ChartOptions& options)
{
    ChartRequest request;
    request.housings = options.housings;
    std::string suffix = std::filesystem::path(options.output).extension().string();
    std::transform(suffix.begin(), suffix.end(), suffix.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    if (suffix == ".png")
        request.format = ImageFormat::png;
    else if (suffix == ".svg")
        request.format = ImageFormat::svg;
    else if (suffix == ".pdf")
        request.format = ImageFormat::pdf;
    else
        return fail(
            "", fmt::format("-o is {}; a name ending in .png, .svg or .pdf is expected", quotedText(options.output)));

    constexpr int least = 400, most = 8000;  // px
    const std::size_t cross = options.size.find('x');
    const auto width = wholeNumber(options.size.substr(0, cross), least, most);
    const auto height = wholeNumber(cross == std::string::npos ? "" : options.size.substr(cross + 1), least, most);
    if (!width || !height)
        return fail("", fmt::format("--size is {}; write it as 1600x1131, each from {} to {}", quotedText(options.size),
                                    least, most));
    request.width = *width;
    request.height = *height;
    return request;
}

ExitCode runChart(const ChartOptions& options, const Streams& streams, const PaintChart& paintChart)
{
    const auto request = chartRequest(options);
    if (!request) return streams.misuse(request.error().message, "chart");
    const auto project = opened(options.project, streams);
    if (!project) return streams.refuse(project.error());
    const auto indices = housingsNamed(*project, options.housings);
    if (!indices) return streams.refuse(inFile(options.project, indices.error()));
    const auto bytes = paintChart(*project, *request);
    if (!bytes) return streams.refuse(inFile(options.project, bytes.error()));
    const auto written = writeWhole(options.output, *bytes);
    return written ? done : streams.refuse(written.error());
}

}  // namespace

Command chartCommand(CLI::App& app, const PaintChart& paintChart)
{
    CLI::App* command = app.add_subcommand("chart", "Write charts and cuts to a picture; needs no display");
    const auto options = std::make_shared<ChartOptions>();
    addProject(*command, options->project);
    command->add_option("-o,--output", options->output, "File to write: .png, .svg or .pdf")
        ->required()
        ->type_name("FILE");
    addHousings(*command, options->housings);
    command->add_option("--size", options->size, "Size in px at 96 to the inch")
        ->type_name("WxH")
        ->capture_default_str();
    return {command, [options, paintChart](const Streams& streams) { return runChart(*options, streams, paintChart); }};
}

}  // namespace portwright::console
