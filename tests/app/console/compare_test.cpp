// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/console/console.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

using namespace portwright::console;
using Json = nlohmann::json;

namespace {

Json compared(const std::string& file)
{
    const Ended ended = runWith({"compare", file, "--format", "json"});
    INFO(ended.err);
    REQUIRE(ended.code == 0);
    CHECK(ended.err.empty());
    return Json::parse(ended.out);
}

// What the ranges of a ported housing leave out.
std::string plainNote(const std::string& file) { return compared(file)["housings"][0]["system"]["left_out_of_ranges"]; }

}  // namespace

TEST_CASE("compare prints the keys of the contract")
{
    const Json json = compared(sample("lower-fairing"));
    REQUIRE(json["housings"].size() == 2);
    CHECK(json["cautions"].size() >= 3);
    for (const Json& housing : json["housings"]) {
        CHECK(housing.contains("name"));
        CHECK(housing["system"].contains("f3_hz"));
        REQUIRE(housing["at"].size() == 21);
        CHECK(housing["at"][0]["frequency_hz"] == 20.0);
        CHECK(housing["at"][20]["frequency_hz"] == 2000.0);
        for (const Json& point : housing["at"]) {
            CHECK(point["level_db"].is_number());
            CHECK(point["loudest_db"].is_number());
            CHECK(std::set<std::string>{"cone", "power", "port air", "amplifier"}.count(point["limit"]) == 1);
        }
        for (const Json& verdict : housing["verdicts"]) {
            CHECK(std::set<std::string>{"holds", "near", "over", "missing", "note"}.count(verdict["state"]) == 1);
            for (const char* key : {"subject", "text", "rule"})
                CHECK_FALSE(verdict[key].get<std::string>().empty());
        }
    }
    CHECK(json["housings"][1]["verdicts"][0]["state"] == "over");
}

TEST_CASE("what nothing limits has no loudest level")
{
    const TemporaryFile file("unlimited.portwright", soundProject);
    const Json point = compared(file.path.string())["housings"][0]["at"][5];
    CHECK_FALSE(point.contains("loudest_db"));
    CHECK(point["limit"] == "none");
    CHECK(runWith({"compare", file.path.string()}).out.find("no limit known") != std::string::npos);
}

TEST_CASE("the bad sample and the lid show every state and every subject of the verdicts")
{
    std::set<std::string> states, subjects;
    for (const char* name : {"everything-wrong", "saddlebag-lid-6x9"}) {
        const Json json = compared(sample(name));
        for (const Json& housing : json["housings"])
            for (const Json& verdict : housing["verdicts"]) {
                states.insert(verdict["state"]);
                subjects.insert(verdict["subject"]);
            }
    }
    CHECK(states == std::set<std::string>{"holds", "missing", "near", "note", "over"});
    for (const char* subject : {"cone travel", "end stop", "port air", "power", "amplifier", "load", "air spring",
                                "damping", "leak", "high-pass", "port area", "tube", "driver data"}) {
        INFO(subject);
        CHECK(subjects.count(subject) == 1);
    }
}

TEST_CASE("the text has one column a housing, verdicts below, cautions at the end")
{
    const Ended ended = runWith({"compare", sample("lower-fairing")});
    REQUIRE(ended.code == 0);
    std::istringstream stream(ended.out);
    std::string line;
    std::getline(stream, line);
    CHECK(line == "Lower fairing: stock pod against a ported one");
    std::getline(stream, line);
    std::getline(stream, line);
    CHECK(line.find("Stock sealed pod   Ported replacement") != std::string::npos);
    for (const char* part : {"Tuning fb      \u2013                  88.4\u00A0Hz", "\n63\u00A0Hz", "(port air)",
                             "\n  Over:    ", "\nCautions\n  - Hearing:"}) {
        INFO(part);
        CHECK(ended.out.find(part) != std::string::npos);
    }
    CHECK(ended.out.rfind("Cautions") > ended.out.rfind("Over:"));
    std::istringstream all(ended.out);
    while (std::getline(all, line))
        CHECK(line.find_last_not_of(' ') + 1 == line.size());
}

TEST_CASE("the level table is headed by names, by ids where a name is wider than its column")
{
    const std::string longName = "A name that is wider than any figure standing below it in the table";
    const TemporaryFile file("wide.portwright", replaced(soundProject, R"("driver":"a","cavity")",
                                                         R"("name":")" + longName + R"(","driver":"a","cavity")"));
    CHECK(runWith({"compare", sample("lower-fairing")}).out.find("\nFrequency   Stock sealed pod ") !=
          std::string::npos);
    const std::string wide = runWith({"compare", file.path.string()}).out;
    CHECK(wide.find("\nFrequency   one, \"two\"\n") != std::string::npos);
    CHECK(wide.find("\nId             one, \"two\"\n") != std::string::npos);
}

TEST_CASE("the hearing caution tells the highest level of the curves, not of the listed frequencies")
{
    const Json solved = Json::parse(runWith({"solve", sample("lower-fairing")}).out);
    double loudest = 0;
    for (const Json& housing : solved["housings"])
        for (std::size_t i = 0; i < solved["frequency_hz"].size(); ++i)
            if (solved["frequency_hz"][i] >= 20)
                loudest = std::max(loudest, housing["curves"]["level_db"][i].get<double>());
    const std::string caution = compared(sample("lower-fairing"))["cautions"][0];
    CHECK(caution.find("up to " + std::to_string(std::lround(loudest)) + "\u00A0dB") != std::string::npos);
}

TEST_CASE("CSV has one row a quantity and as many cells in each row of figures")
{
    const Ended ended = runWith({"compare", sample("lower-fairing"), "--format", "csv"});
    REQUIRE(ended.code == 0);
    CHECK(
        ended.out.starts_with("Quantity,stock,ported\nName,Stock sealed pod,Ported replacement\nKind,closed,vented\n"));
    CHECK(ended.out.find("\nLimit at 63 Hz,amplifier,port air\n") != std::string::npos);
    CHECK(ended.out.find("\nCaution,") != std::string::npos);
}

TEST_CASE("a stated uncertainty gives ranges and what to measure next, and nothing else changes")
{
    const std::string vented = replaced(soundProject, R"("cavity":{"net_volume_l":5.2}})",
                                        R"("cavity":{"net_volume_l":5.2},"openings":[{"kind":"port","shape":"round",
                                        "diameter_mm":54,"length_mm":130,"inner_end":"free","outer_end":"flush",
                                        "end_correction":"classical"}]})");
    const TemporaryFile plain("plain.portwright", vented);
    const TemporaryFile ranged("ranged.portwright", replaced(vented, R"("net_volume_l":5.2)",
                                                             R"("net_volume_l":5.2,"net_uncertainty_l":0.52)"));
    Json with = compared(ranged.path.string()), without = compared(plain.path.string());
    Json& system = with["housings"][0]["system"];
    // fb goes with V^-1/2: 10 % of volume are 5 % of tuning.
    CHECK(system["fb_uncertainty_hz"].get<double>() == Approx(0.05 * system["fb_hz"].get<double>()).epsilon(1e-6));
    CHECK(system["f3_uncertainty_hz"].get<double>() > 0);
    CHECK(system["measure_next"].get<std::string>().rfind("Measure the volume again", 0) == 0);
    for (const char* key : {"fb_uncertainty_hz", "f3_uncertainty_hz", "measure_next", "left_out_of_ranges"})
        system.erase(key);
    CHECK(with == without);
    CHECK(plainNote(ranged.path.string()).find("not the port model's own error") != std::string::npos);
    const std::string text = runWith({"compare", ranged.path.string()}).out;
    CHECK(text.find("\u00A0\u00B1\u00A0") != std::string::npos);
    CHECK(text.find("What to measure next") != std::string::npos);
    CHECK(runWith({"compare", plain.path.string()}).out.find("What to measure next") == std::string::npos);
}
