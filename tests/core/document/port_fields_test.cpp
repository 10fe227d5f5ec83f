// SPDX-License-Identifier: GPL-3.0-or-later
// The geometry of a port and the inner sizes of its cavity in the file: additive, optional, kept as they are.
#include "core/document/project_file.h"

#include "tests/core/document/loaded.h"

#include <catch2/catch.hpp>

using namespace portwright;

namespace {

// Every key of a port and of a box-like cavity, in the writer's own layout.
const std::string example = R"({
  "format": "portwright-project",
  "version": 1,
  "title": "Ports",
  "notes": "",
  "drivers": [
    { "id": "a", "name": "" }
  ],
  "housings": [
    {
      "id": "h",
      "name": "",
      "driver": "a",
      "cavity": {
        "net_volume_l": 5.2,
        "driver_at_mm": 40.0,
        "width_mm": 180.0,
        "breadth_mm": 140.0,
        "depth_mm": 210.5,
        "room_for_port": {
          "straight_mm": 168.0,
          "across_mm": 240.0,
          "mouth_width_mm": 120.0,
          "mouth_height_mm": 80.0,
          "wall_mm": 3.0
        }
      },
      "openings": [
        {
          "kind": "port",
          "shape": "round",
          "count": 2,
          "diameter_mm": 54.0,
          "length_mm": 230.0,
          "inner_end": "free",
          "outer_end": "flush",
          "wall_mm": 3.0,
          "inside_mm": 220.0,
          "inner_flare_mm": 12.0,
          "outer_flare_mm": 20.0,
          "bends": [
            { "angle_deg": 90.0, "radius_mm": 60.0 },
            { "angle_deg": 45.0, "radius_mm": 55.5 }
          ],
          "x_mm": 90.0,
          "y_mm": 35.0,
          "obstacle_mm": 42.5,
          "front_mm": 250.0,
          "spacing_mm": 75.0,
          "separation_k": 0.45,
          "wanted_fb_hz": 60.0,
          "readings": [
            { "length_mm": 260.0, "fb_hz": 54.3, "uncertainty_hz": 0.5 },
            { "length_mm": 245.5, "fb_hz": 56.0, "read_as": "tuning" },
            { "length_mm": 230.0, "fb_hz": 0.0, "read_as": "impedance-dip" }
          ]
        },
        {
          "kind": "port",
          "shape": "slot",
          "width_mm": 140.0,
          "height_mm": 20.0,
          "length_mm": 120.0,
          "inner_end": "free",
          "outer_end": "flush",
          "shared_walls": 3
        }
      ]
    }
  ]
}
)";

Error changed(const std::string& from, const std::string& to) { return refusedWith(example, from, to); }

const std::string ports = "/housings/0/openings/";

}  // namespace

TEST_CASE("a port's geometry is read into SI and written back byte for byte")
{
    const LoadedProject loaded = load(example);
    CHECK(loaded.warnings.empty());
    CHECK(projectText(loaded.project) == example);
    const Housing& housing = loaded.project.housings[0];
    CHECK(housing.cavity.width == 0.18);
    CHECK(housing.cavity.breadth == 0.14);
    CHECK(housing.cavity.depth == 0.2105);
    const auto& round = std::get<PortOpening>(housing.openings[0].kind);
    CHECK(round.innerFlare == 0.012);
    CHECK(round.outerFlare == 0.02);
    REQUIRE(round.bends.size() == 2);
    CHECK(round.bends[0].angle == Approx(pi / 2).margin(1e-15));
    CHECK(round.bends[1].radius == 0.0555);
    CHECK(round.x == 0.09);
    CHECK(round.y == 0.035);
    CHECK(round.obstacle == 0.0425);
    CHECK(round.front == 0.25);
    CHECK(round.spacing == 0.075);
    CHECK(round.separationK == 0.45);
    CHECK(!round.sharedWalls);
    CHECK(round.wantedTuning == 60.0);
    REQUIRE(round.readings.size() == 3);
    CHECK(round.readings[0] == PortReading{0.26, 54.3, 0.5, {}});
    CHECK(round.readings[1] == PortReading{0.2455, 56.0, {}, ReadAs::tuning});
    CHECK(round.readings[2] == PortReading{0.23, 0, {}, ReadAs::impedanceDip});
    CHECK(std::get<PortOpening>(housing.openings[1].kind).sharedWalls == 3);
}

TEST_CASE("a port without the newer keys is written without them")
{
    std::string text = example;
    const std::string first = "\"inner_flare_mm\"", last = "\"impedance-dip\" }\n          ]";
    text.replace(text.find(first), text.find(last) + last.size() - text.find(first), "\"at_mm\": 0.0");
    const Project project = load(text).project;
    const auto& port = std::get<PortOpening>(project.housings[0].openings[0].kind);
    CHECK((!port.innerFlare && !port.outerFlare && port.bends.empty() && !port.x && !port.y && !port.obstacle &&
           !port.front && !port.spacing && !port.separationK && !port.wantedTuning && port.readings.empty()));
    const std::string written = projectText(project);
    for (const char* key :
         {"flare", "bends", "x_mm", "y_mm", "obstacle", "front", "spacing", "separation", "fb_hz", "readings"})
        CHECK(written.find(key) == std::string::npos);
}

TEST_CASE("a port's geometry out of range is refused with the range named")
{
    CHECK(changed("\"inner_flare_mm\": 12.0", "\"inner_flare_mm\": -1") ==
          Error{ports + "0/inner_flare_mm", "inner_flare_mm is -1; allowed is 0 to 500 mm"});
    CHECK(changed("\"angle_deg\": 45.0", "\"angle_deg\": 361").field == ports + "0/bends/1/angle_deg");
    CHECK(changed("\"radius_mm\": 60.0", "\"radius_mm\": \"wide\"").field == ports + "0/bends/0/radius_mm");
    CHECK(changed("\"shared_walls\": 3", "\"shared_walls\": 4") ==
          Error{ports + "1/shared_walls", "shared_walls is 4; allowed is a whole number from 0 to 3"});
    CHECK(changed("\"shared_walls\": 3", "\"shared_walls\": 1.5").field == ports + "1/shared_walls");
    CHECK(changed("\"separation_k\": 0.45", "\"separation_k\": 4.5").field == ports + "0/separation_k");
    CHECK(changed("\"depth_mm\": 210.5", "\"depth_mm\": 0").field == "/housings/0/cavity/depth_mm");
    CHECK(changed("\"bends\": [", "\"bends\": 3, \"bent\": [").message.find("a list is expected") != std::string::npos);
}

TEST_CASE("a tuning read at a length out of range is refused with the range named")
{
    const std::string readings = ports + "0/readings";
    CHECK(changed("\"length_mm\": 245.5", "\"length_mm\": 3001") ==
          Error{readings + "/1/length_mm", "length_mm is 3001; allowed is 0 to 3000 mm"});
    CHECK(changed("\"length_mm\": 245.5, ", "") ==
          Error{readings + "/1/length_mm", "length_mm is missing; allowed is 0 to 3000 mm"});
    CHECK(changed("\"fb_hz\": 54.3", "\"fb_hz\": -1") ==
          Error{readings + "/0/fb_hz", "fb_hz is -1; allowed is 0 to 2000 Hz"});
    CHECK(changed("\"fb_hz\": 54.3", "\"fb_hz\": null").field == readings + "/0/fb_hz");
    CHECK(changed("\"uncertainty_hz\": 0.5", "\"uncertainty_hz\": 101") ==
          Error{readings + "/0/uncertainty_hz", "uncertainty_hz is 101; allowed is 0 to 100 Hz"});
    CHECK(changed("\"read_as\": \"tuning\"", "\"read_as\": \"ear\"").field == readings + "/1/read_as");
    CHECK(changed("\"wanted_fb_hz\": 60.0", "\"wanted_fb_hz\": 4") ==
          Error{ports + "0/wanted_fb_hz", "wanted_fb_hz is 4; allowed is 5 to 2000 Hz"});
    CHECK(changed("\"readings\": [", "\"readings\": 54.3, \"kept\": [") ==
          Error{readings, "readings is 54.3; a list is expected"});
    std::string many;
    for (int i = 0; i < 101; ++i)
        many += "{ \"length_mm\": 260.0, \"fb_hz\": 54.3 }, ";
    CHECK(changed("\"readings\": [", "\"readings\": [" + many).field == readings);
}

TEST_CASE("readings that are no numbers never reach the file, and unknown keys of a reading are kept")
{
    Project project = load(example).project;
    auto& port = std::get<PortOpening>(project.housings[0].openings[0].kind);
    port.readings[0].uncertainty = std::nan("");
    port.readings[1].unknown.emplace_back("swept", "\"at 1 V\"");
    const Project back = load(projectText(project)).project;
    CHECK(back == normalised(project));
    const auto& read = std::get<PortOpening>(back.housings[0].openings[0].kind).readings;
    CHECK(!read[0].uncertainty);
    CHECK(read[1].unknown == port.readings[1].unknown);
}

TEST_CASE("what a bend does not know is kept where it stands and named")
{
    std::string text = example;
    text.replace(text.find("\"angle_deg\": 45.0"), 0, "\"made\": \"by hand\", ");
    const LoadedProject loaded = load(text);
    REQUIRE(loaded.warnings.size() == 1);
    CHECK(loaded.warnings[0].field == ports + "0/bends/1/made");
    CHECK(projectText(loaded.project).find("\"made\": \"by hand\"") != std::string::npos);
    CHECK(load(projectText(loaded.project)).project == loaded.project);
}
