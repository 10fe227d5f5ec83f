// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/console/console.h"

#include <array>
#include <cmath>
#include <fmt/format.h>

using namespace portwright::console;
using Json = nlohmann::json;

namespace {

// One vented housing whose port separates; losses of the box are fixed, so that only the ends lose with level.
std::string jobAt(double voltage)
{
    return fmt::format(
        R"({{"format":"portwright-project","version":1,"feed":{{"voltage_v":{}}},
 "drivers":[{{"id":"a","fs_hz":62,"qes":0.5,"qms":5.1,"vas_l":11,"re_ohm":3.3,"sd_cm2":132}}],
 "housings":[{{"id":"one","driver":"a","cavity":{{"net_volume_l":9}},
   "openings":[{{"kind":"leak","q":7}},
     {{"kind":"port","shape":"round","diameter_mm":50,"length_mm":120,"inner_end":"free","outer_end":"flush"}}]}}]}})",
        voltage);
}

Json loudnessAt(double voltage)
{
    const TemporaryFile job("loud.portwright", jobAt(voltage));
    return jsonOf({"port", job.path.string(), "--loudness", "--format", "json"})["housings"][0]["loudness"];
}

double levelAt(double voltage, double frequency)
{
    const TemporaryFile job("level.portwright", jobAt(voltage));
    const std::string at = fmt::format("{}", frequency);
    return jsonOf({"solve", job.path.string(), "--from", at, "--to", at, "--points",
                   "1"})["housings"][0]["curves"]["level_db"][0];
}

}  // namespace

TEST_CASE("what a port gives up is what its level falls short of a soft signal's in proportion")
{
    const double soft = 1e-4;  // separation grows with the flow: nothing is lost here
    const Json loud = loudnessAt(10);
    const std::vector<double> feeds = loud["voltage_v"], bands = loud["frequency_hz"];
    CHECK(feeds == std::vector<double>{2.5, 5, 10, 20, 40});
    REQUIRE(loud["lost_db"].size() == feeds.size());
    for (std::size_t k = 0; k < feeds.size(); ++k)
        for (std::size_t i : {std::size_t(2), std::size_t(5), std::size_t(8)}) {
            const double promised = levelAt(soft, bands[i]) + 20 * std::log10(feeds[k] / soft);
            INFO(feeds[k] << " V, " << bands[i] << " Hz");
            CHECK(loud["lost_db"][k][i].get<double>() == Approx(promised - levelAt(feeds[k], bands[i])).margin(2e-3));
        }
}

TEST_CASE("half and double the drive are those of jobs fed so")
{
    const Json port = loudnessAt(10)["ports"][0];
    CHECK(port["opening"] == 2);
    CHECK(port["separation_k"].get<double>() > 0);
    const Json& drives = port["drives"];
    REQUIRE(drives.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        const double voltage = std::array{5.0, 10.0, 20.0}[i];
        CHECK(drives[i]["voltage_v"].get<double>() == Approx(voltage));
        CHECK(drives[i]["level_db"].get<double>() ==
              Approx(levelAt(voltage, port["frequency_hz"].get<double>())).margin(1e-6));
    }
    CHECK(drives[2]["lost_db"].get<double>() > drives[0]["lost_db"].get<double>());
    CHECK(port["numbers"]["Mach"].get<double>() ==
          Approx(drives[1]["port_peak_m_s"].get<double>() / 344.0).epsilon(0.01));
}

TEST_CASE("the words of --loudness name the port, its drives and what each number rests on")
{
    const TemporaryFile job("words.portwright", jobAt(10));
    const Ended ended = runWith({"port", job.path.string(), "--loudness"});
    CHECK(ended.code == 0);
    for (const char* part : {"port 1 where its air is fastest", "half", "as fed", "double", "Mach", "Strouhal",
                             "Level lost where the air leaves the ports"})
        CHECK(ended.out.find(part) != std::string::npos);
    const Ended closed = runWith({"port", sample("lower-fairing"), "--housing", "stock", "--loudness"});
    CHECK(closed.code == 0);
    CHECK(closed.out.find("no port here that gives up level") != std::string::npos);
}

TEST_CASE("no drive to compare is refused in one line, two wishes at a time are wrong usage")
{
    const TemporaryFile silent("silent-port.portwright", jobAt(0));
    const Ended none = runWith({"port", silent.path.string(), "--loudness"});
    CHECK(none.code == 1);
    CHECK(none.err == silent.path.string() + ", /feed/voltage_v: the feed is 0 V: there is no drive to compare\n");
    CHECK(runWith({"port", silent.path.string(), "--loudness", "--tune", "60"}).code == 2);
}
