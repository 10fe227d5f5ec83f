// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/project_file.h"

#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>

using namespace portwright;

namespace {

const std::filesystem::path data = std::filesystem::path(PORTWRIGHT_SOURCE_DIR) / "tests/data/project_files";

std::string contents(const std::filesystem::path& path)
{
    std::ifstream file(path, std::ios::binary);
    REQUIRE(file);
    return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace

TEST_CASE("a file of version 0 climbs to the current version")
{
    const auto loaded = readProject(data / "version_0.portwright");
    REQUIRE(loaded);
    CHECK(loaded->fileVersion == 0);
    REQUIRE(loaded->warnings.size() == 1);
    CHECK(loaded->warnings[0].field == "/drivers/0/workshop_note");
    CHECK(loaded->project.feed->voltage == 5.5);
    CHECK(loaded->project.drivers[0].Sd == 0.0132);
    CHECK(loaded->project.housings[0].cavity.netVolume == 0.0016);
    REQUIRE(loaded->project.housings[1].openings.size() == 2);
    CHECK(std::get<LeakByQ>(loaded->project.housings[1].openings[0].kind).q == 7);
    CHECK(projectText(loaded->project) == contents(data / "version_0_as_1.portwright"));
}

TEST_CASE("what version 0 has wrong is named as such, not lost on the way")
{
    std::string text = contents(data / "version_0.portwright");
    text.replace(text.find("1.6"), 3, "\"much\"");
    const auto loaded = parseProject(text);
    REQUIRE(!loaded);
    CHECK(loaded.error().field == "/housings/0/cavity/net_volume_l");
}

TEST_CASE("a newer version is refused with both versions named")
{
    const auto loaded = readProject(data / "version_2.portwright");
    REQUIRE(!loaded);
    CHECK(loaded.error().field.ends_with("version_2.portwright, /version"));
    CHECK(loaded.error().message ==
          "the file is of version 2, this program reads up to version 1; open it with a newer program");
}

TEST_CASE("every sample project opens without a warning, and is saved as it stands")
{
    int samples = 0;
    for (const auto& entry :
         std::filesystem::directory_iterator(std::filesystem::path(PORTWRIGHT_SOURCE_DIR) / "sample-projects")) {
        if (entry.path().extension() != ".portwright") continue;
        ++samples;
        INFO(entry.path().string());
        const auto loaded = readProject(entry.path());
        if (!loaded) FAIL(loaded.error().field + ": " + loaded.error().message);
        CHECK(loaded->warnings.empty());
        CHECK(projectText(loaded->project) == contents(entry.path()));
        CHECK(loaded->project.notes.find("nvented") != std::string::npos);
    }
    CHECK(samples >= 4);
}
