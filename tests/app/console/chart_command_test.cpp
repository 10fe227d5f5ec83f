// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/console/console.h"

#include <catch2/catch.hpp>
#include <iterator>

using namespace portwright;
using namespace portwright::console;

namespace {

std::string contents(const std::filesystem::path& path)
{
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace

TEST_CASE("chart hands over format, size and housings, and writes the file whole")
{
    ChartRequest seen;
    const PaintChart paint = [&seen](const Project& project, const ChartRequest& request) -> Result<std::string> {
        seen = request;
        return "painted " + project.housings.front().id;
    };
    const TemporaryFile file("chart.PDF");
    const Ended ended = runWith(
        {"chart", sample("lower-fairing"), "-o", file.path.string(), "--housing", "ported", "--size", "800x600"},
        paint);
    INFO(ended.err);
    CHECK(ended.code == 0);
    CHECK(ended.out.empty());
    CHECK(contents(file.path) == "painted stock");
    CHECK(seen.format == ImageFormat::pdf);
    CHECK(seen.housings == std::vector<std::string>{"ported"});
    CHECK(seen.width == 800);
    CHECK(seen.height == 600);
}

TEST_CASE("a chart that cannot be painted or written leaves the old file")
{
    const TemporaryFile file("old.svg", "old");
    const PaintChart refuses = [](const Project&, const ChartRequest&) -> Result<std::string> {
        return fail("/drivers/0", "no such cone");
    };
    const Ended ended = runWith({"chart", sample("lower-fairing"), "-o", file.path.string()}, refuses);
    CHECK(ended.code == 1);
    CHECK(ended.err == sample("lower-fairing") + ", /drivers/0: no such cone\n");
    CHECK(contents(file.path) == "old");

    const PaintChart paints = [](const Project&, const ChartRequest&) -> Result<std::string> {
        return std::string("x");
    };
    const Ended nowhere = runWith({"chart", sample("lower-fairing"), "-o", "/nowhere/a.png"}, paints);
    CHECK(nowhere.code == 1);
    CHECK(nowhere.err == "/nowhere/a.png: the folder does not exist; make it or save elsewhere\n");
}

TEST_CASE("housings that are not there are refused before anything is painted")
{
    const PaintChart never = [](const Project&, const ChartRequest&) -> Result<std::string> {
        throw std::logic_error("painted");
    };
    CHECK(runWith({"chart", sample("lower-fairing"), "-o", "never.png", "--housing", "attic"}, never).code == 1);
}
