// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/console/console.h"

#include <catch2/catch.hpp>
#include <cmath>
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

TEST_CASE("the longest inner dimension of an outside scan is that of the inside")
{
    // 200 x 150 x 140 mm inside 3 mm of wall: the diagonal is 286.5 mm, two walls less than the outer one are 290.8.
    const TemporaryFile file("outer.stl", boxStl(206, 156, 146));
    const Ended text = runWith({"cavity", file.path.string(), "--wall", "3"});
    CHECK(text.out.find("longest inner dimension: 286.5") != std::string::npos);
    const Json json = jsonOf({"cavity", file.path.string(), "--wall", "3", "--format", "json"})["cavities"][0];
    CHECK(json["longest_mm"].get<double>() == Approx(std::sqrt(200 * 200 + 150 * 150 + 140 * 140)).epsilon(1e-6));
    CHECK(json["warnings"][0].get<std::string>().find("L outside") != std::string::npos);  // the unit's guess
}

TEST_CASE("what other files say decides the unit of a scan")
{
    const TemporaryFile fill("known.csv", "medium,reading,unit\nwater-volume,2.38,L\nwater-volume,2.42,L\n"),
        scan("inches.stl", boxStl(120 / 25.4, 100 / 25.4, 200 / 25.4));
    const Json alone = jsonOf({"cavity", scan.path.string(), "--format", "json"})["cavities"][0];
    CHECK(alone["unit_m"] == 0.0254);  // 0.146 L in cm is too little for a guess
    const TemporaryFile larger("larger.stl", boxStl(200 / 25.4, 150 / 25.4, 140 / 25.4)),
        other("other.csv", "medium,reading,unit\nwater-volume,4.2,L\nwater-volume,4.25,L\n");
    CHECK(jsonOf({"cavity", larger.path.string(), "--format", "json"})["cavities"][0]["unit_m"] == 0.01);
    for (const auto& files :
         {std::vector{larger.path.string(), other.path.string()}, {other.path.string(), larger.path.string()}}) {
        const Json both = jsonOf({"cavity", files[0], files[1], "--format", "json"});
        const Json& helped = both["cavities"][files[0] == larger.path.string() ? 0 : 1];
        CHECK(helped["kind"] == "scan");  // told in the order asked for
        CHECK(helped["unit_m"] == 0.0254);
        CHECK(helped["volume_l"].get<double>() == Approx(4.2).epsilon(1e-4));  // text STL has 6 digits
        CHECK(helped["warnings"][0].get<std::string>().find("guessed from the other measurements") !=
              std::string::npos);
    }
}

TEST_CASE("a table with columns of neither kind is told the columns of both")
{
    const TemporaryFile file("neither.csv", "# a note\n\nposition,width\n0,120\n");
    const Ended ended = runWith({"cavity", file.path.string()});
    CHECK(ended.code == 1);
    CHECK(ended.err.starts_with(file.path.string() + ", line 3: "));
    CHECK(ended.err.find("sections begins with at_mm,shape") != std::string::npos);
    CHECK(ended.err.find("a fill with medium,reading,unit") != std::string::npos);
    const std::string help = runWith({"cavity", "--help"}).out;
    for (const char* part : {"at_mm,shape,width_mm,height_mm,corner_mm,area_cm2,points_mm", "medium,reading,unit",
                             "temperature_c", "mm, cm, m, in or ft"})
        CHECK(help.find(part) != std::string::npos);
}

TEST_CASE("the tables of the help are read as they stand there")
{
    const std::string help = runWith({"cavity", "--help"}).out;
    const auto table = [&help](const std::string& head) {
        std::istringstream rest(help.substr(help.find("\n  " + head) + 1));
        std::string text, line;
        while (std::getline(rest, line) && line.starts_with("  "))
            text += line.substr(2) + "\n";
        return text;
    };
    const TemporaryFile sections("help-sections.csv", table("at_mm,")), fill("help-fill.csv", table("medium,"));
    const Json all = jsonOf({"cavity", sections.path.string(), fill.path.string(), "--format", "json"})["cavities"];
    CHECK(all[0]["kind"] == "sections");
    CHECK(all[1]["kind"] == "fill");
    CHECK(all[1]["volume_l"].get<double>() == Approx(6.2225 / 0.9986 + 0.02).epsilon(1e-4));  // water at 18 degC
    for (const Json& cavity : all)
        CHECK(cavity["in_place"] == "nothing");
}

TEST_CASE("options for scans are warned of where there is no scan")
{
    const TemporaryFile file("table-only.csv", boxSections);
    const Ended ended = runWith({"cavity", file.path.string(), "--wall", "3", "--unit", "in"});
    CHECK(ended.code == 0);
    CHECK(lines(ended.err) == 2);
    for (const char* option : {"--wall", "--unit"})
        CHECK(ended.err.find("warning: " + file.path.string() + ", " + option + ": ") != std::string::npos);
}

TEST_CASE("even sections are thinned in the text, all stay in the JSON")
{
    const TemporaryFile scan("even.stl", boxStl(120, 100, 200));
    const std::string text = runWith({"cavity", scan.path.string()}).out;
    CHECK(text.find("(2 of 41, ") != std::string::npos);
    CHECK(jsonOf({"cavity", scan.path.string(), "--format", "json"})["cavities"][0]["profile"]["at_mm"].size() == 41);
    std::string bumps = "at_mm,shape,area_cm2\n";
    for (int i = 0; i < 40; ++i)
        bumps += std::to_string(10 * i) + ",area," + std::to_string(100 + 30 * (i % 2)) + "\n";
    const TemporaryFile bumpy("bumpy.csv", bumps);
    CHECK(runWith({"cavity", bumpy.path.string()}).out.find("(12 of 40, ") != std::string::npos);
}

TEST_CASE("a housing that cannot be reckoned is told why, and its cavity all the same")
{
    std::ifstream in(sample("larger-lower-measured"));
    const std::string project{std::istreambuf_iterator<char>(in), {}};
    const TemporaryFile file("outside.portwright",
                             replaced(project, R"("driver_at_mm": 128.0)", R"("driver_at_mm": 4000.0)"));
    const Ended ended = runWith({"cavity", file.path.string()});
    INFO(ended.out << ended.err);
    CHECK(ended.code == 0);
    CHECK(ended.out.find("note: The housing cannot be reckoned") != std::string::npos);
    CHECK(ended.out.find("/housings/1/cavity/driver_at_mm") != std::string::npos);
}

TEST_CASE("what the ranges leave out is told beneath them where a port's ends or a shape are assumed")
{
    const std::string lid = runWith({"cavity", sample("saddlebag-lid-6x9")}).out;
    CHECK(lid.find("note: Ranges hold what the inputs leave open, not the shape that is assumed") != std::string::npos);
    const std::string lower = runWith({"cavity", sample("lower-fairing")}).out;
    CHECK(lower.find("not the port model's own error") != std::string::npos);
    CHECK(runWith({"cavity", sample("larger-lower-measured")}).out.find("Ranges hold") == std::string::npos);
}

TEST_CASE("remarks on a reading stand beneath it")
{
    const TemporaryFile file(
        "remarks.portwright",
        replaced(soundProject, R"("net_volume_l":5.2)",
                 R"("measurements":[{"kind":"fill","medium":"water-volume","readings_l":[2,5,9]}])"));
    const Ended ended = runWith({"cavity", file.path.string()});
    INFO(ended.out);
    CHECK(ended.out.find("water by volume, 3 readings") < ended.out.find("    note: The readings spread by 65.8 %"));
}

TEST_CASE("where one spring is out only above what is judged, the reason says up to where that is")
{
    std::ifstream in(sample("larger-lower-measured"));
    const std::string project{std::istreambuf_iterator<char>(in), {}};
    const TemporaryFile file("spring.portwright", replaced(project, R"("driver_at_mm": 128.0)",
                                                           R"("driver_at_mm": 128.0, "model": "lumped")"));
    const Json lower = jsonOf({"cavity", file.path.string(), "--format", "json"})["cavities"][1];
    CHECK(lower["model"] == "lumped");
    CHECK(lower["lumped_out_from_hz"].get<double>() > 500);
    CHECK(lower["model_reason"].get<std::string>().find("travel and port air are judged up to 500\u00A0Hz") !=
          std::string::npos);
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
