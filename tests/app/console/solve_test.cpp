// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/project_file.h"
#include "core/response/summary.h"
#include "tests/app/console/console.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <locale>
#include <nlohmann/json.hpp>

using namespace portwright;
using namespace portwright::console;
using Json = nlohmann::json;

namespace {

Json solved(std::vector<std::string> arguments)
{
    arguments.insert(arguments.begin(), "solve");
    const Ended ended = runWith(arguments);
    INFO(ended.err);
    REQUIRE(ended.code == 0);
    return Json::parse(ended.out);
}

std::vector<std::string> split(const std::string& text, char mark)
{
    std::vector<std::string> parts;
    std::istringstream stream(text);
    for (std::string part; std::getline(stream, part, mark);)
        parts.push_back(part);
    return parts;
}

}  // namespace

TEST_CASE("solve prints the keys of the contract, and only those that apply")
{
    const Json json = solved({sample("lower-fairing")});
    CHECK(json["air"]["density_kg_m3"].get<double>() == Approx(1.1993).epsilon(1e-4));
    CHECK(json["air"]["pressure_pa"] == 101325.0);
    CHECK(json["air"].contains("sound_speed_m_s"));
    REQUIRE(json["frequency_hz"].size() == 400);
    CHECK(json["frequency_hz"].front() == 10.0);
    CHECK(json["frequency_hz"].back() == 2000.0);
    REQUIRE(json["housings"].size() == 2);
    const Json &stock = json["housings"][0], &ported = json["housings"][1];
    CHECK(stock["id"] == "stock");
    CHECK(stock["name"] == "Stock sealed pod");
    CHECK(stock["system"]["kind"] == "closed");
    CHECK(stock["system"].contains("fc_hz"));
    CHECK(stock["system"].contains("qtc"));
    CHECK_FALSE(stock["system"].contains("fb_hz"));
    CHECK_FALSE(stock["curves"].contains("port_peak_m_s"));
    CHECK(ported["system"]["kind"] == "vented");
    CHECK(ported["system"].contains("fb_hz"));
    CHECK_FALSE(ported["system"].contains("fc_hz"));
    REQUIRE(ported["curves"]["port_peak_m_s"].size() == 1);
    CHECK(ported["curves"]["port_peak_m_s"][0].size() == 400);
    for (const char* key :
         {"level_db", "phase_deg", "group_delay_ms", "impedance_ohm", "impedance_phase_deg", "cone_peak_mm", "power_w"})
        CHECK(ported["curves"][key].size() == 400);
}

TEST_CASE("solve prints the same doubles as the core computes, in the units of the keys")
{
    const Project project = readProject(sample("lower-fairing"))->project;
    const Model model = *modelOf(project, 1);
    const Curves curves = *curvesOf(model, logGrid(20, 500, 50));
    const Json json =
        solved({sample("lower-fairing"), "--housing", "ported", "--from", "20", "--to", "500", "--points", "50"});
    REQUIRE(json["housings"].size() == 1);
    const Json& printed = json["housings"][0]["curves"];
    for (Eigen::Index i = 0; i < 50; ++i) {
        const auto k = static_cast<std::size_t>(i);
        CHECK(json["frequency_hz"][k].get<double>() == curves.frequency[i]);
        CHECK(printed["level_db"][k].get<double>() == curves.level[i]);
        CHECK(printed["cone_peak_mm"][k].get<double>() == curves.coneTravel[i] * 1e3);
        CHECK(printed["group_delay_ms"][k].get<double>() == curves.groupDelay[i] * 1e3);
        CHECK(printed["port_peak_m_s"][0][k].get<double>() == curves.portAir[0][i]);
        CHECK(printed["power_w"][k].get<double>() == curves.power[i]);
    }
    CHECK(json["housings"][0]["system"]["f3_hz"].get<double>() == *summaryOf(model)->f3);
}

TEST_CASE("housings are chosen by id, in the order asked for, each once")
{
    const Json json =
        solved({sample("lower-fairing"), "--housing", "ported", "--housing", "stock", "--housing", "ported"});
    REQUIRE(json["housings"].size() == 2);
    CHECK(json["housings"][0]["id"] == "ported");
    const Ended none = runWith({"solve", sample("lower-fairing"), "--housing", "attic"});
    CHECK(none.code == 1);
    CHECK(none.err ==
          sample("lower-fairing") + ", /housings: no housing has the id \"attic\"; there are \"stock\", \"ported\"\n");
}

TEST_CASE("no voltage is silence: null in JSON, an empty cell in CSV, never a broken number")
{
    const TemporaryFile file("silent.portwright",
                             replaced(soundProject, "\"version\":1,", "\"version\":1, \"feed\": {\"voltage_v\": 0},"));
    const Json json = solved({file.path.string(), "--points", "3"});
    for (const Json& level : json["housings"][0]["curves"]["level_db"])
        CHECK(level.is_null());
    const Ended csv = runWith({"solve", file.path.string(), "--points", "3", "--format", "csv"});
    REQUIRE(csv.code == 0);
    for (const char* word : {"nan", "inf", "NaN", "Inf"})
        CHECK(csv.out.find(word) == std::string::npos);
    CHECK(split(csv.out, '\n')[1].starts_with("10.0,,"));
    CHECK(runWith({"compare", file.path.string()}).code == 0);
    CHECK(runWith({"compare", file.path.string()}).out.find("inf") == std::string::npos);
}

TEST_CASE("CSV has one row a frequency, one column a housing and curve, units in its head")
{
    const Ended csv = runWith({"solve", sample("lower-fairing"), "--format", "csv", "--points", "5"});
    REQUIRE(csv.code == 0);
    const auto rows = split(csv.out, '\n');
    REQUIRE(rows.size() == 6);
    const auto head = split(rows[0], ',');
    CHECK(head[0] == "Frequency (Hz)");
    CHECK(head[1] == "stock level (dB)");
    CHECK(head[6] == "stock cone (mm peak)");
    CHECK(std::find(head.begin(), head.end(), "ported port (m/s peak)") != head.end());
    CHECK(std::find(head.begin(), head.end(), "stock port (m/s peak)") == head.end());
    for (std::size_t i = 1; i < rows.size(); ++i)
        CHECK(split(rows[i], ',').size() == head.size());

    const TemporaryFile file("quoted.portwright", soundProject);
    CHECK(runWith({"solve", file.path.string(), "--format", "csv"})
              .out.starts_with("Frequency (Hz),\"one, \"\"two\"\" level (dB)\","));
}

TEST_CASE("numbers have point decimals whatever the locale")
{
    struct CommaMark : std::numpunct<char> {
        char do_decimal_point() const override { return ','; }
        char do_thousands_sep() const override { return '.'; }
        std::string do_grouping() const override { return "\3"; }
    };
    const Ended usual = runWith({"solve", sample("lower-fairing"), "--format", "csv", "--points", "4"});
    const std::locale before = std::locale::global(std::locale(std::locale::classic(), new CommaMark));
    const Ended comma = runWith({"solve", sample("lower-fairing"), "--format", "csv", "--points", "4"});
    const Ended text = runWith({"compare", sample("lower-fairing")});
    std::locale::global(before);
    CHECK(comma.out == usual.out);
    CHECK(text.out == runWith({"compare", sample("lower-fairing")}).out);
}

TEST_CASE("one frequency is asked for as equal ends and one point")
{
    const Json json = solved({sample("lower-fairing"), "--from", "80", "--to", "80", "--points", "1"});
    REQUIRE(json["frequency_hz"].size() == 1);
    CHECK(json["frequency_hz"][0].get<double>() == 80);
    const Ended between = runWith({"solve", sample("lower-fairing"), "--from", "20", "--to", "80", "--points", "1"});
    CHECK(between.code == 2);
    CHECK(between.err.find("one point needs --from and --to equal") != std::string::npos);
}
