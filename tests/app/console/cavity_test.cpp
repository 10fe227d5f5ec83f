// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/console/console.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace portwright::console;
using Json = nlohmann::json;

namespace {

// A box of 120 x 100 x 200 mm by its sections: 2.4 L exactly.
const std::string boxSections = "at_mm,shape,width_mm,height_mm\n0,rectangle,120,100\n100,rectangle,120,100\n"
                                "200,rectangle,120,100\n";

// A box in text STL, `open` leaving out its top; corners in the given unit.
std::string boxStl(double w, double b, double h, bool open = false)
{
    using Corner = std::array<int, 3>;
    const std::vector<std::array<Corner, 3>> faces{
        {{{0, 0, 0}, {0, 1, 0}, {1, 1, 0}}}, {{{0, 0, 0}, {1, 1, 0}, {1, 0, 0}}},   // bottom
        {{{0, 0, 0}, {1, 0, 0}, {1, 0, 1}}}, {{{0, 0, 0}, {1, 0, 1}, {0, 0, 1}}},   // front
        {{{1, 0, 0}, {1, 1, 0}, {1, 1, 1}}}, {{{1, 0, 0}, {1, 1, 1}, {1, 0, 1}}},   // right
        {{{1, 1, 0}, {0, 1, 0}, {0, 1, 1}}}, {{{1, 1, 0}, {0, 1, 1}, {1, 1, 1}}},   // back
        {{{0, 1, 0}, {0, 0, 0}, {0, 0, 1}}}, {{{0, 1, 0}, {0, 0, 1}, {0, 1, 1}}},   // left
        {{{0, 0, 1}, {1, 0, 1}, {1, 1, 1}}}, {{{0, 0, 1}, {1, 1, 1}, {0, 1, 1}}}};  // top
    std::ostringstream text;
    text << "solid box\n";
    for (std::size_t i = 0; i < faces.size() - (open ? 2 : 0); ++i) {
        text << "facet normal 0 0 0\nouter loop\n";
        for (const Corner& c : faces[i])
            text << "vertex " << c[0] * w << " " << c[1] * b << " " << c[2] * h << "\n";
        text << "endloop\nendfacet\n";
    }
    text << "endsolid box\n";
    return text.str();
}

Json jsonOf(const std::vector<std::string>& arguments)
{
    const Ended ended = runWith(arguments);
    INFO(ended.err);
    REQUIRE(ended.code == 0);
    return Json::parse(ended.out);
}

}  // namespace

TEST_CASE("cavity tells a table of sections its volume, with uncertainty and profile")
{
    const TemporaryFile file("box.csv", boxSections);
    const Json cavity = jsonOf({"cavity", file.path.string(), "--format", "json"})["cavities"][0];
    CHECK(cavity["kind"] == "sections");
    CHECK(cavity["volume_l"].get<double>() == Approx(2.4).epsilon(1e-12));  // width x height x length
    CHECK(cavity["uncertainty_l"].get<double>() > 0);
    CHECK(cavity["profile"]["area_cm2"][0].get<double>() == Approx(120).epsilon(1e-12));
    const Ended text = runWith({"cavity", file.path.string()});
    CHECK(text.out.find("2.4") != std::string::npos);
    CHECK(text.out.find("\u00B1") != std::string::npos);
}

TEST_CASE("cavity tells a fill from a table of sections by its columns")
{
    const TemporaryFile file("fill.csv",
                             "# two fills\nmedium,reading,unit\nwater-volume,2.38,L\nwater-volume,2.42,L\n");
    const Json cavity = jsonOf({"cavity", file.path.string(), "--format", "json"})["cavities"][0];
    CHECK(cavity["kind"] == "fill");
    CHECK(cavity["volume_l"].get<double>() == Approx(2.4).epsilon(1e-9));  // the mean of the two
}

TEST_CASE("cavity measures a scan, guesses its unit and closes its opening")
{
    const TemporaryFile whole("whole.stl", boxStl(120, 100, 200)), open("open.stl", boxStl(120, 100, 200, true));
    const Json cavity = jsonOf({"cavity", whole.path.string(), "--format", "json"})["cavities"][0];
    CHECK(cavity["volume_l"].get<double>() ==
          Approx(2.4).epsilon(1e-9));  // corners are whole numbers in single precision
    CHECK(cavity["unit_guessed"] == true);
    CHECK(cavity["openings"].empty());
    const Json closed = jsonOf({"cavity", open.path.string(), "--format", "json"})["cavities"][0];
    CHECK(closed["volume_l"].get<double>() == Approx(2.4).epsilon(1e-9));
    REQUIRE(closed["openings"].size() == 1);
    CHECK(closed["openings"][0]["area_cm2"].get<double>() == Approx(120).epsilon(1e-9));

    const TemporaryFile inches("inch.stl", boxStl(12, 10, 20));
    const Json inch = jsonOf({"cavity", inches.path.string(), "--unit", "cm", "--format", "json"})["cavities"][0];
    CHECK(inch["unit_guessed"] == false);
    CHECK(inch["volume_l"].get<double>() == Approx(2.4).epsilon(1e-9));
}

TEST_CASE("an outside scan is corrected for its wall")
{
    const TemporaryFile file("outside.stl", boxStl(126, 106, 206));  // 3 mm all round: the box of 2.4 L inside
    const Json cavity = jsonOf({"cavity", file.path.string(), "--wall", "3 mm", "--format", "json"})["cavities"][0];
    CHECK(cavity["volume_l"].get<double>() == Approx(2.4).epsilon(2e-3));  // corners are beyond a formula of edges
}

TEST_CASE("several measurements of one cavity are told together")
{
    const TemporaryFile sections("both.csv", boxSections), scan("both.stl", boxStl(120, 100, 200));
    const Json all = jsonOf({"cavity", sections.path.string(), scan.path.string(), "--format", "json"});
    CHECK(all["cavities"].size() == 2);
    CHECK(all["together"]["volume_l"].get<double>() == Approx(2.4).epsilon(1e-9));
    CHECK(all["together"]["uncertainty_l"].get<double>() < all["cavities"][0]["uncertainty_l"].get<double>());
}

TEST_CASE("cavity tells every cavity of a project")
{
    const Json all = jsonOf({"cavity", sample("lower-fairing"), "--format", "json"});
    REQUIRE(all["cavities"].size() >= 2);
    for (const Json& cavity : all["cavities"]) {
        CHECK(cavity["kind"] == "project");
        CHECK(cavity["volume_l"].get<double>() > 0);
        CHECK(cavity["stated"] == true);
    }
}

TEST_CASE("cavity tells what a measured volume means for its housing, never finer than it is known")
{
    const Json all = jsonOf({"cavity", sample("larger-lower-measured"), "--format", "json"});
    const Json& lower = all["cavities"][1];
    const Json compared = jsonOf({"compare", sample("larger-lower-measured"), "--format", "json"});
    CHECK(lower["fb_hz"].get<double>() ==
          Approx(compared["housings"][1]["system"]["fb_hz"].get<double>()).epsilon(1e-6));
    CHECK(lower["fb_hz_uncertainty"].get<double>() > 0);
    CHECK((lower["model"] == "segmented" || lower["model"] == "lumped"));
    CHECK(!lower["measure_next"].get<std::string>().empty());
    CHECK(!all["cavities"][0].contains("fb_hz"));  // closed: a resonance instead
    CHECK(all["cavities"][0]["fc_hz"].get<double>() > 100);

    const Ended text = runWith({"cavity", sample("larger-lower-measured")});
    CHECK(text.out.find("1.70\u00A0\u00B1\u00A00.10") != std::string::npos);  // two decimals would be finer than known
    for (const char* line : {"  tuning: ", "  3 dB point: ", "  reckoned with: ", "  next: "})
        CHECK(text.out.find(line) != std::string::npos);
}

TEST_CASE("cavity refuses what it cannot read in one line")
{
    const TemporaryFile text("text.stl", "this is a shopping list\n"), crossed("cut.csv", "at_mm,shape\n0,blob\n"),
        named("cavity.txt", "x");
    const std::vector<std::vector<std::string>> wrong{{"cavity", text.path.string()},
                                                      {"cavity", crossed.path.string()},
                                                      {"cavity", named.path.string()},
                                                      {"cavity", "/no/such/lower.stl"},
                                                      {"cavity", "/no/such/lower.csv"},
                                                      {"cavity", "/no/such/lower.portwright"},
                                                      {"cavity", std::filesystem::temp_directory_path().string()}};
    for (const auto& arguments : wrong) {
        const Ended ended = runWith(arguments);
        INFO(arguments.back() << " -> " << ended.err);
        CHECK(ended.code == 1);
        CHECK(ended.out.empty());
        CHECK(lines(ended.err) == 1);
        CHECK(ended.err.find(arguments.back()) != std::string::npos);
    }
}

TEST_CASE("wrong options of cavity are wrong usage")
{
    const TemporaryFile file("use.csv", boxSections);
    for (const auto& arguments : {std::vector<std::string>{"cavity"},
                                  {"cavity", file.path.string(), "--unit", "furlong"},
                                  {"cavity", file.path.string(), "--wall", "-3"},
                                  {"cavity", file.path.string(), "--wall", "5 m"},
                                  {"cavity", file.path.string(), "--format", "csv"}}) {
        const Ended ended = runWith(arguments);
        INFO(ended.err);
        CHECK(ended.code == 2);
        CHECK(ended.out.empty());
        CHECK(lines(ended.err) == 1);
    }
}
