// SPDX-License-Identifier: GPL-3.0-or-later
// A cavity's measurements in the file: additive, optional, kept as they are.
#include "core/document/describe.h"
#include "core/document/project_file.h"

#include "tests/core/document/loaded.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace portwright;

namespace {

// Every kind of measurement and solid, in the writer's own layout.
const std::string example = R"({
  "format": "portwright-project",
  "version": 1,
  "title": "Measured",
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
        "measurements": [
          {
            "kind": "fill",
            "in_place": "nothing",
            "note": "with the liner",
            "medium": "water-weight",
            "readings_g": [4991.0, 5003.0],
            "scale_step_g": 1.0,
            "temperature_c": 18.5,
            "residue_ml": 20.0
          },
          {
            "kind": "fill",
            "medium": "dry",
            "readings_l": [5.0],
            "vessel_step_ml": 100.0,
            "packing_pct": 2.0
          },
          {
            "kind": "sections",
            "length_uncertainty_mm": 1.5,
            "first_cap": "dome",
            "first_cap_mm": 30.0,
            "sections": [
              {
                "at_mm": 0.0,
                "shape": "rounded",
                "width_mm": 180.0,
                "height_mm": 140.0,
                "corner_mm": 25.0
              },
              {
                "at_mm": 60.0,
                "shape": "outline",
                "points_mm": [
                  [0.0, 0.0],
                  [120.0, 0.0],
                  [60.0, 80.0]
                ]
              },
              { "at_mm": 200.0, "shape": "area", "area_cm2": 210.5 }
            ]
          },
          {
            "kind": "solids",
            "steps": [
              {
                "name": "main",
                "solid": "box",
                "width_mm": 200.0,
                "breadth_mm": 100.0,
                "height_mm": 250.0
              },
              {
                "subtract": true,
                "solid": "bent-tube",
                "diameter_mm": 30.0,
                "centre_line_radius_mm": 50.0,
                "angle_deg": 90.0,
                "at_mm": [10.0, -20.0, 0.0],
                "axis": "x"
              }
            ],
            "places": [
              {
                "part": "driver",
                "at_mm": [100.0, 50.0, 0.0]
              },
              {
                "part": "port",
                "at_mm": [0.0, 0.0, 250.0]
              },
              { "part": "port" }
            ]
          },
          {
            "kind": "scan",
            "unused": true,
            "file": "lower.stl",
            "unit_mm": 25.4,
            "volume_l": 5.1,
            "uncertainty_l": 0.1,
            "profile_at_mm": [0.0, 100.0],
            "profile_area_cm2": [250.0, 200.0],
            "profile_perimeter_mm": [640.0, 560.0],
            "places": [
              {
                "part": "port",
                "at_mm": [12.5, 0.0, -40.0]
              }
            ]
          },
          { "kind": "resonance", "fc_hz": 119.2, "uncertainty_hz": 0.6 },
          {
            "kind": "bottles",
            "bottle_uncertainty_pct": 1.0,
            "readings": [
              { "bottle_l": 0.0, "fc_hz": 119.2 },
              { "bottle_l": 0.5, "fc_hz": 124.0 }
            ]
          },
          { "kind": "stated", "in_place": "everything", "volume_l": 4.4, "uncertainty_l": 0.5 }
        ],
        "deductions": [
          { "kind": "driver" },
          { "kind": "brace", "name": "rib", "volume_l": 0.12, "uncertainty_l": 0.02 }
        ],
        "net_uncertainty_l": 0.1,
        "model": "segmented",
        "driver_at_mm": 40.0
      },
      "openings": [
        {
          "kind": "port",
          "shape": "round",
          "diameter_mm": 54.0,
          "length_mm": 130.0,
          "inner_end": "free",
          "outer_end": "flush",
          "at_mm": 220.0,
          "wall_mm": 3.0,
          "inside_mm": 120.0
        }
      ]
    }
  ]
}
)";

Error changed(const std::string& from, const std::string& to) { return refusedWith(example, from, to); }

const std::string at = "/housings/0/cavity/measurements/";

}  // namespace

TEST_CASE("a measured cavity is read into SI and written back byte for byte")
{
    const LoadedProject loaded = load(example);
    CHECK(loaded.warnings.empty());
    CHECK(projectText(loaded.project) == example);
    const Cavity& cavity = loaded.project.housings[0].cavity;
    CHECK(cavity.netVolume == 0);
    CHECK(cavity.model == CavityModel::segmented);
    CHECK(cavity.driverAt == 0.04);
    REQUIRE(cavity.measurements.size() == 8);
    const auto& fill = std::get<FillMeasurement>(cavity.measurements[0].method);
    CHECK(fill.masses == std::vector<double>{4.991, 5.003});
    CHECK(fill.residue == 20e-6);
    CHECK(cavity.measurements[0].inPlace == InPlace::nothing);
    CHECK(std::get<FillMeasurement>(cavity.measurements[1].method).packingDifference == 0.02);
    const auto& sections = std::get<SectionsMeasurement>(cavity.measurements[2].method);
    CHECK(sections.firstCap == EndCap{CapShape::dome, 0.03});
    CHECK(sections.lastCap == EndCap{});
    CHECK(sections.sections[1].points[2] == Point2{0.06, 0.08});
    const auto& bend = std::get<SolidsMeasurement>(cavity.measurements[3].method).steps[1];
    CHECK(std::get<BentTubeSolid>(bend.solid).angle == Approx(pi / 2));
    CHECK(bend.subtract);
    CHECK(bend.at == Point3{0.01, -0.02, 0});
    CHECK(bend.axis == SolidAxis::x);
    const auto& places = std::get<SolidsMeasurement>(cavity.measurements[3].method).places;
    REQUIRE(places.size() == 3);
    CHECK(places[0] == PartPlace{PlacedPart::driver, {0.1, 0.05, 0}, {}});
    CHECK(places[1] == PartPlace{PlacedPart::port, {0, 0, 0.25}, {}});
    CHECK(places[2] == PartPlace{PlacedPart::port, {}, {}});
    CHECK(std::get<ScanMeasurement>(cavity.measurements[4].method).places[0].at == Point3{0.0125, 0, -0.04});
    CHECK(cavity.measurements[4].unused);
    CHECK(std::get<ScanMeasurement>(cavity.measurements[4].method).unit == 0.0254);
    CHECK(std::get<PortOpening>(loaded.project.housings[0].openings[0].kind).wall == 0.003);
}

TEST_CASE("a measurement just begun is kept by the file, of every kind, with or without numbers")
{
    Project project = load(example).project;
    Cavity& cavity = project.housings[0].cavity;
    cavity = Cavity{};
    for (std::size_t kind = 0; kind < measurementWords.size(); ++kind)
        setAlternative(cavity.measurements.emplace_back().method, kind);
    auto& steps = std::get<SolidsMeasurement>(cavity.measurements[2].method).steps;
    for (std::size_t kind = 0; kind < solidWords.size(); ++kind)
        setAlternative(steps.emplace_back().solid, kind);
    auto& sections = std::get<SectionsMeasurement>(cavity.measurements[1].method).sections;
    for (const auto& [shape, word] : sectionShapeWords)
        sections.emplace_back().shape = shape;
    std::get<BottlesMeasurement>(cavity.measurements[5].method).readings.resize(2);
    cavity.deductions.resize(1);
    CHECK(load(projectText(project)).project == project);
}

TEST_CASE("the net volume may be missing only beside measurements")
{
    std::string text = example;
    const std::size_t from = text.find("\"measurements\""), to = text.find("\"deductions\"");
    const auto without = parseProject(text.erase(from, to - from));
    REQUIRE(!without);
    CHECK(without.error() ==
          Error{"/housings/0/cavity/net_volume_l", "net_volume_l is missing; allowed is 0.02 to 2000 L"});

    std::string both = example;
    both.replace(both.find("\"net_uncertainty_l\""), 0, "\"net_volume_l\": 4.5, ");
    CHECK(load(both).project.housings[0].cavity.netVolume == 0.0045);
    CHECK(load(projectText(load(both).project)).project.housings[0].cavity.netVolume == 0.0045);
    CHECK(changed("\"net_uncertainty_l\"", "\"net_volume_l\": 0, \"net_uncertainty_l\"").message ==
          "net_volume_l is 0; allowed is 0.02 to 2000 L");
}

TEST_CASE("unknown keys inside measurements are kept where they stand and named")
{
    std::string text = example;
    for (const char* beside :
         {"\"kind\": \"fill\"", "\"at_mm\": 0.0", "\"name\": \"main\"", "\"bottle_l\": 0.5", "\"kind\": \"driver\""})
        text.replace(text.find(beside), 0, "\"colour\": [1, 2.50], ");
    const LoadedProject loaded = load(text);
    std::vector<std::string> fields;
    for (const Error& warning : loaded.warnings)
        fields.push_back(warning.field);
    CHECK(fields == std::vector<std::string>{at + "0/colour", at + "2/sections/0/colour", at + "3/steps/0/colour",
                                             at + "6/readings/1/colour", "/housings/0/cavity/deductions/0/colour"});
    CHECK(load(projectText(loaded.project)).project == loaded.project);
    const std::string written = projectText(loaded.project);
    std::size_t kept = 0;
    for (std::size_t i = written.find("\"colour\": [1, 2.50]"); i != std::string::npos;
         i = written.find("\"colour\": [1, 2.50]", i + 1))
        ++kept;
    CHECK(kept == 5);
}

TEST_CASE("each bad value of a measurement is refused in one sentence: place, found, allowed")
{
    struct Case {
        const char *from, *to, *field, *message;
    };
    const Case cases[] = {
        {"\"kind\": \"fill\"", "\"kind\": \"guess\"", "0/kind",
         "kind is the text \"guess\"; allowed is \"fill\", \"sections\", \"solids\", \"scan\", \"resonance\", "
         "\"bottles\" or \"stated\""},
        {"\"in_place\": \"nothing\"", "\"in_place\": \"half\"", "0/in_place",
         "in_place is the text \"half\"; allowed is \"nothing\" or \"everything\""},
        {"\"unused\": true", "\"unused\": 1", "4/unused", "unused is 1; allowed is true or false"},
        {"[4991.0, 5003.0]", "[4991.0, -1]", "0/readings_g/1", "readings_g has -1 here; allowed is 0 to 2000000 g"},
        {"[4991.0, 5003.0]", "[4991.0, \"x\"]", "0/readings_g/1",
         "readings_g has the text \"x\" here, no number; allowed is 0 to 2000000 g"},
        {"[4991.0, 5003.0]", "4991", "0/readings_g", "readings_g is 4991; a list is expected"},
        {"\"temperature_c\": 18.5", "\"temperature_c\": 80", "0/temperature_c",
         "temperature_c is 80; allowed is 0 to 40 \u00B0C"},
        {"[120.0, 0.0]", "[120.0]", "2/sections/1/points_mm/1",
         "points_mm has a list of 1 here; 2 numbers in a list are expected"},
        {"[120.0, 0.0]", "[120.0, 99999]", "2/sections/1/points_mm/1/1",
         "points_mm has 99999 here; allowed is -10000 to 10000 mm"},
        {"\"width_mm\": 180.0,", "", "2/sections/0/width_mm", "width_mm is missing; allowed is 0 to 5000 mm"},
        {"\"shape\": \"area\"", "\"shape\": \"star\"", "2/sections/2/shape",
         "shape is the text \"star\"; allowed is \"rectangle\", \"rounded\", \"ellipse\", \"d\", \"triangle\", "
         "\"outline\" or \"area\""},
        {"\"solid\": \"box\"", "\"solid\": \"ball\"", "3/steps/0/solid",
         "solid is the text \"ball\"; allowed is \"box\", \"wedge\", \"round-frustum\", \"rectangular-frustum\", "
         "\"cylinder\", \"ellipsoid-cap\" or \"bent-tube\""},
        {"[10.0, -20.0, 0.0]", "[10.0, -20.0]", "3/steps/1/at_mm",
         "at_mm has a list of 2 here; 3 numbers in a list are expected"},
        {"\"axis\": \"x\"", "\"axis\": \"up\"", "3/steps/1/axis",
         "axis is the text \"up\"; allowed is \"x\", \"y\" or \"z\""},
        {"\"part\": \"driver\"", "\"part\": \"cone\"", "3/places/0/part",
         "part is the text \"cone\"; allowed is \"driver\" or \"port\""},
        {"[100.0, 50.0, 0.0]", "[100.0, 2e5, 0.0]", "3/places/0/at_mm/1",
         "at_mm has 2e5 here; allowed is -100000 to 100000 mm"},
        {"\"fc_hz\": 119.2, ", "", "5/fc_hz", "fc_hz is missing; allowed is 0 to 5000 Hz"},
    };
    for (const Case& c : cases) {
        const Error error = changed(c.from, c.to);
        CHECK(error.field == at + c.field);
        CHECK(error.message == c.message);
    }
    CHECK(changed("\"kind\": \"brace\"", "\"kind\": \"sand\"").field == "/housings/0/cavity/deductions/1/kind");
    CHECK(changed("\"model\": \"segmented\"", "\"model\": \"round\"").field == "/housings/0/cavity/model");
    CHECK(changed("\"wall_mm\": 3.0", "\"wall_mm\": -3").field == "/housings/0/openings/0/wall_mm");
}

TEST_CASE("numbers that are none never reach the file")
{
    Project project = load(example).project;
    const double nan = std::nan("");
    std::vector<Measurement>& measurements = project.housings[0].cavity.measurements;
    std::get<FillMeasurement>(measurements[0].method).masses = {5.0, nan};
    std::get<SectionsMeasurement>(measurements[2].method).sections[1].points[1] = {nan, 0};
    std::get<SolidsMeasurement>(measurements[3].method).steps[1].at = {nan, 0.01, 0};
    const Project back = load(projectText(project)).project;
    CHECK(std::get<FillMeasurement>(back.housings[0].cavity.measurements[0].method).masses == std::vector<double>{5.0});
    CHECK(back == normalised(project));
}
