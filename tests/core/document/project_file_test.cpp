// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/project_file.h"

#include "tests/core/document/arbitrary_project.h"
#include "tests/core/document/loaded.h"

#include <catch2/catch.hpp>
#include <clocale>
#include <cmath>
#include <limits>
#include <rapidcheck/catch.h>

using namespace portwright;

namespace {

// The example of the format's description, in the writer's own layout.
const std::string example = R"({
  "format": "portwright-project",
  "version": 1,
  "title": "Lower fairing, both sides",
  "notes": "",
  "air": { "temperature_c": 20.0, "altitude_m": 0.0, "relative_humidity_pct": 50.0 },
  "drivers": [
    {
      "id": "mid165",
      "name": "165 mm mid-bass, demo",
      "fs_hz": 72.0,
      "qes": 0.62,
      "qms": 5.1,
      "vas_l": 9.8,
      "re_ohm": 3.3,
      "le_mh": 0.25,
      "sd_cm2": 132.0,
      "xmax_mm": 4.0,
      "xmech_mm": 8.0,
      "power_w": 100.0,
      "nominal_ohm": 4.0,
      "displacement_l": 0.35
    }
  ],
  "housings": [
    {
      "id": "stock",
      "name": "Stock sealed pod",
      "driver": "mid165",
      "driver_count": 1,
      "cavity": { "net_volume_l": 1.6, "fill_factor": 1.0, "absorption_q": 60.0 },
      "openings": [
        { "kind": "leak", "q": 7.0 }
      ]
    },
    {
      "id": "ported",
      "name": "Ported replacement",
      "driver": "mid165",
      "cavity": { "net_volume_l": 5.2 },
      "openings": [
        { "kind": "leak", "q": 7.0 },
        {
          "kind": "port",
          "shape": "round",
          "count": 1,
          "diameter_mm": 54.0,
          "length_mm": 130.0,
          "inner_end": "free",
          "outer_end": "flush",
          "end_correction": "classical",
          "loss_q": 80.0
        }
      ]
    }
  ],
  "feed": { "voltage_v": 2.83 },
  "place": { "distance_m": 1.0, "space": "half" }
}
)";

}  // namespace

TEST_CASE("the example of the format is read into SI and written back byte for byte")
{
    const LoadedProject loaded = load(example);
    CHECK(loaded.warnings.empty());
    CHECK(loaded.fileVersion == 1);
    const Project& project = loaded.project;
    REQUIRE(project.drivers.size() == 1);
    CHECK(project.drivers[0].Vas == 9.8 / 1000);
    CHECK(project.drivers[0].Sd == 132.0 / 1e4);
    CHECK(project.drivers[0].Xmax == 0.004);
    CHECK(project.air->relativeHumidity == 0.5);
    REQUIRE(project.housings.size() == 2);
    const auto& port = std::get<PortOpening>(project.housings[1].openings[1].kind);
    CHECK(port.diameter == 0.054);
    CHECK(port.classical);
    CHECK(port.lossQ == 80.0);
    CHECK(projectText(project) == example);
}

TEST_CASE("defaults that were not written stay absent")
{
    const std::string text = R"({"format":"portwright-project","version":1,"drivers":[{"id":"a"}],
        "housings":[{"id":"h","driver":"a","cavity":{"net_volume_l":2}}],"feed":{},"place":{},"air":{},"limits":{}})";
    const Project project = load(text).project;
    CHECK(!project.place->distance);
    CHECK(!project.housings[0].driverCount);
    const std::string written = projectText(project);
    for (const char* key :
         {"distance_m", "driver_count", "wiring", "fill_factor", "voltage_v", "temperature_c", "series_parts", "fs_hz"})
        CHECK(written.find(key) == std::string::npos);
    CHECK(load(written).project == project);
}

TEST_CASE("unknown keys are kept in their order, written back, and named in a warning")
{
    std::string text = example;
    text.replace(text.find("\"notes\""), 0, "\"zeal\": [1, 2.50], \"apt/ly\": {\"x\": null}, ");
    text.replace(text.find("\"q\": 7.0"), 0, "\"colour\": \"red\", ");
    const LoadedProject loaded = load(text);
    REQUIRE(loaded.warnings.size() == 3);
    CHECK(loaded.warnings[0].field == "/housings/0/openings/0/colour");
    CHECK(loaded.warnings[1].field == "/zeal");
    CHECK(loaded.warnings[1].message ==
          "the key \"zeal\" is not known to this version; it is kept, but not reckoned with");
    CHECK(loaded.warnings[2].field == "/apt~1ly");
    const std::string written = projectText(loaded.project);
    CHECK(written.find("\"colour\": \"red\"") != std::string::npos);
    CHECK(written.find("\"zeal\": [1, 2.50]") < written.find("\"apt/ly\""));
    CHECK(load(written).project == loaded.project);
}

TEST_CASE("save and load is identity for any project the file can hold")
{
    rc::prop("every key at random", [] {
        const Project project = arbitraryProject(*rc::gen::arbitrary<unsigned>());
        const std::string text = projectText(project);
        const auto loaded = parseProject(text);
        if (!loaded) RC_FAIL(loaded.error().field + ": " + loaded.error().message + "\n" + text);
        RC_ASSERT(loaded->project == normalised(project));
        RC_ASSERT(projectText(loaded->project) == text);
        RC_ASSERT(normalised(loaded->project) == loaded->project);
    });
}

TEST_CASE("what is not finite is never written")
{
    Project project = load(example).project;
    const double nan = std::nan(""), infinity = std::numeric_limits<double>::infinity();
    project.drivers[0].fs = nan;
    project.drivers[0].uncertainty["qes"] = infinity;
    project.feed->voltage = infinity;
    const std::string text = projectText(project);
    CHECK(text.find("nan") == std::string::npos);
    CHECK(text.find("inf") == std::string::npos);
    CHECK(text.find("null") == std::string::npos);
    CHECK(!load(text).project.drivers[0].fs);

    project.housings[0].cavity.netVolume = nan;
    const auto back = parseProject(projectText(project));
    REQUIRE(!back);
    CHECK(back.error().message == "net_volume_l is missing; allowed is 0.02 to 2000 L");
}

TEST_CASE("bytes that are no UTF-8 do not stop the writer")
{
    Project project = load(example).project;
    project.title = "a\xFFz";
    project.unknown = {{"b\xFF", "1"}, {"broken", "{"}, {"title", "2"}};
    const Project back = load(projectText(project)).project;
    CHECK(back.title == "a\uFFFDz");
    REQUIRE(back.unknown.size() == 1);
    CHECK(back.unknown[0].first == "b\uFFFD");
    CHECK(back == normalised(project));
}

TEST_CASE("two-inductor and semi-inductance models keep unknown keys too")
{
    std::string text = example;
    const std::string plain = "\"le_mh\": 0.25";
    text.replace(text.find(plain), plain.size(),
                 R"("inductance": { "model": "semi", "k": 0.02, "n": 0.7, "fit": "by hand" })");
    const LoadedProject loaded = load(text);
    CHECK(std::get<SemiInductance>(*loaded.project.drivers[0].inductance) == SemiInductance{0.02, 0.7});
    CHECK(projectText(loaded.project).find("\"fit\": \"by hand\"") != std::string::npos);
    CHECK(loaded.warnings.size() == 1);
}

TEST_CASE("the feed in force is the housing's own, else the project's, else the default")
{
    Project project = load(example).project;
    CHECK(feedOf(project, project.housings[0]).voltage == 2.83);
    project.housings[0].feed = Feed{};
    project.housings[0].feed->voltage = 10.0;
    CHECK(feedOf(project, project.housings[0]).voltage == 10.0);
    project.feed.reset();
    CHECK(feedOf(project, project.housings[1]) == Feed{});
    CHECK(portAirLimit(project) == 17);
    CHECK(findDriver(project, "mid165") == &project.drivers[0]);
    CHECK(findDriver(project, "none") == nullptr);
}

TEST_CASE("every number that is described has a field, and its default lies in its range")
{
    for (const char* key : {"fs_hz", "qes", "vas_l", "re_ohm", "sd_cm2", "xmax_mm"})
        REQUIRE(fieldInfo("driver", key));
    REQUIRE(fieldInfo("limits", "port_air_m_s"));
    CHECK(fieldInfo("limits", "port_air_m_s")->defaultValue == 17.0);
    CHECK(fieldInfo("air", "relative_humidity_pct")->perSi == 100);
    CHECK(fieldInfo("driver", "no_such_key") == nullptr);
    CHECK(fieldInfo("cavity", "fs_hz") == nullptr);
}
