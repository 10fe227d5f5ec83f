// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/console/console.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace portwright::console;
using Json = nlohmann::json;

TEST_CASE("the parts of why sum to the level that solve tells")
{
    for (const char* name : {"lower-fairing", "larger-lower-measured", "fairing-two-coaxials", "saddlebag-lid-6x9"})
        for (const char* at : {"20", "63", "315"}) {
            const Json why = jsonOf({"why", sample(name), "--at", at, "--format", "json"});
            const Json solved = jsonOf({"solve", sample(name), "--from", at, "--to", at, "--points", "1"});
            REQUIRE(why["housings"].size() == solved["housings"].size());
            for (std::size_t i = 0; i < why["housings"].size(); ++i) {
                const Json& housing = why["housings"][i];
                INFO(name << ", " << housing["id"] << " at " << at << " Hz");
                double sum = housing["start_db"];
                for (const Json& part : housing["parts"]) {
                    sum += part["step_db"].get<double>();
                    CHECK(part["level_db"].get<double>() == Approx(sum).margin(1e-9));
                    CHECK_FALSE(part["text"].get<std::string>().empty());
                }
                const double level = solved["housings"][i]["curves"]["level_db"][0];
                CHECK(sum == Approx(level).margin(1e-9));
                CHECK(housing["level_db"].get<double>() == Approx(level).margin(1e-9));
            }
        }
}

TEST_CASE("why tells its frequency, 63 Hz where none is asked for, and takes some of the housings")
{
    CHECK(jsonOf({"why", sample("lower-fairing"), "--format", "json"})["frequency_hz"] == 63.0);
    const Json one =
        jsonOf({"why", sample("lower-fairing"), "--housing", "ported", "--at", "80 Hz", "--format", "json"});
    CHECK(one["frequency_hz"] == 80.0);
    REQUIRE(one["housings"].size() == 1);
    CHECK(one["housings"][0]["id"] == "ported");
    const Ended text = runWith({"why", sample("lower-fairing")});
    CHECK(text.code == 0);
    CHECK(text.out.starts_with("Where the bass went, at 63.0\u00A0Hz"));
    for (const char* part : {"\nStock sealed pod\n", "The driver alone", "Air spring", "times as stiff as",
                             "No port here.", "At the rider"})
        CHECK(text.out.find(part) != std::string::npos);
}

TEST_CASE("an account of no sound is refused in one line")
{
    const TemporaryFile silent("silent.portwright",
                               replaced(soundProject, R"("version":1,)", R"("version":1,"feed":{"voltage_v":0},)"));
    const Ended ended = runWith({"why", silent.path.string()});
    CHECK(ended.code == 1);
    CHECK(ended.out.empty());
    CHECK(ended.err == silent.path.string() + ", /feed/voltage_v: the feed is 0 V: there is no sound to account for\n");
}
