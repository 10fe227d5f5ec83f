// SPDX-License-Identifier: GPL-3.0-or-later
// The geometry of a port and the inner sizes of its cavity in the file: additive, optional, kept as they are.
#include "core/document/project_file.h"

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
        "depth_mm": 210.5
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
          "separation_k": 0.45
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

LoadedProject load(const std::string& text)
{
    auto loaded = parseProject(text);
    INFO((loaded ? "" : loaded.error().field + ": " + loaded.error().message));
    REQUIRE(loaded);
    return *loaded;
}

Error changed(const std::string& from, const std::string& to)
{
    std::string text = example;
    REQUIRE(text.find(from) != std::string::npos);
    const auto loaded = parseProject(text.replace(text.find(from), from.size(), to));
    INFO(from << " -> " << to);
    REQUIRE(!loaded);
    return loaded.error();
}

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
    CHECK(std::get<PortOpening>(housing.openings[1].kind).sharedWalls == 3);
}

TEST_CASE("a port without the newer keys is written without them")
{
    std::string text = example;
    const std::string first = "\"inner_flare_mm\"", last = "\"separation_k\": 0.45";
    text.replace(text.find(first), text.find(last) + last.size() - text.find(first), "\"at_mm\": 0.0");
    const Project project = load(text).project;
    const auto& port = std::get<PortOpening>(project.housings[0].openings[0].kind);
    CHECK((!port.innerFlare && !port.outerFlare && port.bends.empty() && !port.x && !port.y && !port.obstacle &&
           !port.front && !port.spacing && !port.separationK));
    const std::string written = projectText(project);
    for (const char* key : {"flare", "bends", "x_mm", "y_mm", "obstacle", "front", "spacing", "separation"})
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
