// SPDX-License-Identifier: GPL-3.0-or-later
// Whatever stands in a file ends in a project or in one clear sentence with its place.
#include "core/document/project_file.h"

#include "tests/core/document/arbitrary_project.h"
#include "tests/core/document/loaded.h"

#include <catch2/catch.hpp>
#include <fstream>
#include <rapidcheck/catch.h>
#include <sys/stat.h>
#include <unistd.h>

using namespace portwright;

namespace {

const std::string sound = R"({"format":"portwright-project","version":1,"title":"","notes":"",
 "drivers":[{"id":"a","fs_hz":72,"qes":0.62,"le_mh":0.25,"sensitivity_db":88,"sensitivity_at":"1w"}],
 "housings":[{"id":"h","driver":"a","driver_count":1,"cavity":{"net_volume_l":5.2},
  "openings":[{"kind":"leak","q":7},{"kind":"port","shape":"round","diameter_mm":54,"length_mm":130,"inner_end":"free","outer_end":"flush"}]}],
 "air":{"temperature_c":20,"altitude_m":0},"feed":{"power_w":10,"into_ohm":4}})";

Error changed(const std::string& from, const std::string& to) { return refusedWith(sound, from, to); }

}  // namespace

TEST_CASE("the file these cases start from is sound") { REQUIRE(parseProject(sound)); }

TEST_CASE("each bad value is refused in one sentence: place, found, allowed")
{
    struct Case {
        const char *from, *to, *field, *message;
    };
    const Case cases[] = {
        {"\"fs_hz\":72", "\"fs_hz\":-72", "/drivers/0/fs_hz", "fs_hz is -72; allowed is 5 to 2000 Hz"},
        {"\"fs_hz\":72", "\"fs_hz\":0", "/drivers/0/fs_hz", "fs_hz is 0; allowed is 5 to 2000 Hz"},
        {"\"fs_hz\":72", "\"fs_hz\":1e300", "/drivers/0/fs_hz", "fs_hz is 1e300; allowed is 5 to 2000 Hz"},
        {"\"fs_hz\":72", "\"fs_hz\":\"72\"", "/drivers/0/fs_hz",
         "fs_hz is the text \"72\", no number; allowed is 5 to 2000 Hz"},
        {"\"fs_hz\":72", "\"fs_hz\":null", "/drivers/0/fs_hz",
         "fs_hz is empty (null), no number; allowed is 5 to 2000 Hz"},
        {"\"fs_hz\":72", "\"fs_hz\":[72]", "/drivers/0/fs_hz", "fs_hz is a list, no number; allowed is 5 to 2000 Hz"},
        {"\"fs_hz\":72", "\"fs_hz\":1e999", "line 2",
         "the number \"1e999\" is beyond what can be reckoned with; finite numbers are allowed"},
        {"\"qes\":0.62", "\"qes\":0.02", "/drivers/0/qes", "qes is 0.02; allowed is 0.03 to 100"},
        {"\"net_volume_l\":5.2", "\"net_volume_l\":-5.2", "/housings/0/cavity/net_volume_l",
         "net_volume_l is -5.2; allowed is 0.02 to 2000 L"},
        {"\"net_volume_l\":5.2", "", "/housings/0/cavity/net_volume_l",
         "net_volume_l is missing; allowed is 0.02 to 2000 L"},
        {"\"driver_count\":1", "\"driver_count\":1.9", "/housings/0/driver_count",
         "driver_count is 1.9; allowed is a whole number from 1 to 8"},
        {"\"driver_count\":1", "\"driver_count\":9", "/housings/0/driver_count",
         "driver_count is 9; allowed is a whole number from 1 to 8"},
        {"\"driver\":\"a\"", "\"driver\":\"b\"", "/housings/0/driver",
         "driver is \"b\", which is no driver's id; the file has \"a\""},
        {"\"id\":\"h\"", "\"id\":\"\"", "/housings/0/id",
         "id is empty; a text with at least one character is expected"},
        {"\"id\":\"h\",", "", "/housings/0/id", "id is missing; a text is expected"},
        {"\"le_mh\":0.25", "\"le_mh\":0.25,\"inductance\":{\"model\":\"semi\",\"k\":1,\"n\":0.5}",
         "/drivers/0/inductance", "both le_mh and inductance are given; give one of them"},
        {"\"sensitivity_at\":\"1w\"", "\"xmax_mm\":4", "/drivers/0/sensitivity_at",
         "sensitivity_at is missing beside sensitivity_db; say whether the sensitivity is at 1 W (\"1w\") or at 2.83 V "
         "(\"2.83v\")"},
        {"\"altitude_m\":0", "\"altitude_m\":0,\"pressure_pa\":101325", "/air/altitude_m",
         "both pressure_pa and altitude_m are given; give one of them"},
        {"\"into_ohm\":4", "\"source_ohm\":0", "/feed/into_ohm",
         "into_ohm is missing beside power_w; a feed power needs the load it is meant for"},
        {"\"power_w\":10", "\"power_w\":10,\"voltage_v\":5", "/feed/power_w",
         "both voltage_v and power_w are given; give one of them"},
        {"\"q\":7", "\"q\":7,\"shape\":\"hole\"", "/housings/0/openings/0/shape",
         "both q and shape are given; give one of them"},
        {"\"kind\":\"leak\"", "\"kind\":\"door\"", "/housings/0/openings/0/kind",
         "kind is the text \"door\"; allowed is \"leak\", \"port\" or \"passive\""},
        {"\"kind\":\"leak\"", "\"kind\":\"leak\",\"cavity\":\"second\"", "/housings/0/openings/0/cavity",
         "cavity is \"second\", but the housing has no second_cavity; allowed is \"main\""},
        {"\"inner_end\":\"free\",", "", "/housings/0/openings/1/inner_end",
         "inner_end is missing; allowed is \"free\" or \"flush\""},
        {"\"length_mm\":130", "\"length_mm\":130,\"end_correction\":\"mine\"", "/housings/0/openings/1/end_correction",
         "end_correction is the text \"mine\"; allowed is \"classical\""},
        {"\"openings\":[", "\"openings\":[5,", "/housings/0/openings/0", "this is 5; an object is expected"},
        {"\"version\":1", "\"version\":2", "/version",
         "the file is of version 2, this program reads up to version 1; open it with a newer program"},
        {"\"version\":1,", "", "/version", "version is missing; allowed is 0 to 1"},
        {"\"version\":1", "\"version\":\"1\"", "/version",
         "version is the text \"1\"; allowed is a whole number from 0 to 1"},
        {"\"version\":1", "\"version\":-1", "/version", "version is -1; allowed is a whole number from 0 to 1"},
        {"portwright-project", "recipe", "/format",
         "format is the text \"recipe\"; a project file says \"portwright-project\" there"},
        {"\"title\":\"\"", "\"title\":5", "/title", "title is 5; a text is expected"},
        {"\"notes\":\"\"", "\"title\":\"\"", "/",
         "the key \"title\" stands twice in one object; each key may stand once"},
        {"{\"temperature_c\":20,\"altitude_m\":0}", "[]", "/air", "air is a list; an object is expected"},
    };
    for (const Case& c : cases) {
        const Error error =
            changed(c.from, c.to[0] ? c.to : "\"x\":0" + std::string(std::string(c.from).ends_with(",") ? "," : ""));
        CHECK(error.field == c.field);
        CHECK(error.message == c.message);
    }
}

TEST_CASE("ids stand once")
{
    std::string text = sound;
    const std::string driver = "{\"id\":\"a\",";
    text.replace(text.find(driver), driver.size(), "{\"id\":\"a\"},{\"id\":\"a\",");
    const Error error = refusal(text);
    CHECK(error.field == "/drivers/1/id");
    CHECK(error.message == "id is \"a\", as of an earlier one; each id may stand once");
}

TEST_CASE("what is no project at all is refused in one sentence")
{
    for (const char* text :
         {"", "null", "5", "[]", "\"x\"", "{}", "{", "nonsense", "\xEF\xBB\xBF", "\x00\x01\x02", "PK\x03\x04"}) {
        const Error error = refusal(text);
        CHECK_FALSE(error.message.empty());
        CHECK(error.message.find('\n') == std::string::npos);
    }
    CHECK(refusal(std::string(projectFileSizeLimit + 1, ' ')).message ==
          "the file has 8388609 bytes; at most 8388608 are read");
    CHECK(refusal(std::string(200000, '[')).message == "nested more than 64 levels deep; at most 64 are allowed");
}

TEST_CASE("a file cut anywhere is refused, and never crashes the reader")
{
    for (std::size_t length = 0; length < sound.size(); ++length)
        CHECK_FALSE(parseProject(sound.substr(0, length)));
}

TEST_CASE("a damaged file gives a project that can be saved, or one line")
{
    rc::prop("bytes changed, dropped or doubled", [] {
        std::mt19937_64 random(*rc::gen::arbitrary<unsigned>());
        std::string text = random() % 2 ? sound : projectText(arbitraryProject(static_cast<unsigned>(random())));
        for (auto n = 1 + random() % 4; n > 0; --n) {
            const auto at = random() % text.size();
            if (random() % 3 == 0)
                text[at] = static_cast<char>(random());
            else if (random() % 2)
                text.erase(at, 1 + random() % 5);
            else
                text.insert(at, text.substr(at / 2, random() % 9));
        }
        const auto loaded = parseProject(text);
        if (!loaded) {
            RC_ASSERT(!loaded.error().message.empty() && !loaded.error().field.empty());
            RC_ASSERT((loaded.error().field + loaded.error().message).find_first_of("\n\r") == std::string::npos);
            return;
        }
        const auto again = parseProject(projectText(loaded->project));
        RC_ASSERT(again.has_value());
        RC_ASSERT(again->project == loaded->project);
    });
}

TEST_CASE("what cannot be read as a file is named with its path")
{
    const auto folder = std::filesystem::temp_directory_path() / ("portwright-read-" + std::to_string(::getpid()));
    std::filesystem::create_directory(folder);
    const auto message = [](const std::filesystem::path& path) {
        const auto loaded = readProject(path);
        REQUIRE(!loaded);
        CHECK(loaded.error().field.starts_with(path.string()));
        return loaded.error().message;
    };
    CHECK(message(folder / "none.portwright") == "there is no such file; check the name and the folder");
    CHECK(message(folder) == "this is a folder; a project file is expected");
    REQUIRE(::mkfifo((folder / "pipe").c_str(), 0600) == 0);
    CHECK(message(folder / "pipe") == "this is no ordinary file; a project file is expected");
    std::ofstream(folder / "big") << std::string(projectFileSizeLimit + 10, ' ');
    CHECK(message(folder / "big") == "the file is larger than 8388608 bytes; so large a project is not read");
    std::ofstream(folder / "cut") << "{\n\"format\": ";
    CHECK(readProject(folder / "cut").error().field == (folder / "cut").string() + ", line 2");
    std::filesystem::remove_all(folder);
}

TEST_CASE("a mistyped key is told which one was meant")
{
    const auto warned = [](const std::string& driverKeys) {
        const auto loaded =
            portwright::parseProject(R"({"format":"portwright-project","version":1,"drivers":[{"id":"a",)" +
                                     driverKeys + R"(}],"housings":[]})");
        REQUIRE(loaded);
        REQUIRE(loaded->warnings.size() == 1);
        return loaded->warnings[0].message;
    };
    CHECK(warned(R"("xmax":4)").find("\"xmax_mm\" meant?") != std::string::npos);
    CHECK(warned(R"("qees":0.5)").find("\"qes\" meant?") != std::string::npos);
    CHECK(warned(R"("sd_cm":130)").find("\"sd_cm2\" meant?") != std::string::npos);
    CHECK(warned(R"("colour":1)").find("meant?") == std::string::npos);
}
