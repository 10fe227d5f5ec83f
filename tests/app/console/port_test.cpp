// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/console/console.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <sstream>

using namespace portwright::console;
using Json = nlohmann::json;

namespace {

/// One housing of 9 L with a port of 50 mm, and a box that is known.
const std::string ported = R"({"format":"portwright-project","version":1,
 "drivers":[{"id":"a","fs_hz":72,"qes":0.45,"qms":5.1,"vas_l":9.8,"re_ohm":3.3,"sd_cm2":132,"xmax_mm":4,"power_w":80}],
 "housings":[{"id":"one","driver":"a",
   "cavity":{"net_volume_l":9,"width_mm":210,"breadth_mm":190,"depth_mm":235},
   "openings":[{"kind":"leak","q":7},
    {"kind":"port","shape":"round","diameter_mm":50,"wall_mm":2,"length_mm":120,"inner_end":"free","outer_end":"flush"}]}],
 "feed":{"voltage_v":10}})";

Json housingOf(std::vector<std::string> arguments)
{
    arguments.insert(arguments.end(), {"--format", "json"});
    return jsonOf(arguments)["housings"][0];
}

}  // namespace

TEST_CASE("port tells what a port tunes to, by the model and by the textbook, and what a millimetre is worth")
{
    const TemporaryFile file("port.portwright", ported);
    const Json one = housingOf({"port", file.path.string()});
    REQUIRE(one["ports"].size() == 1);
    const Json& port = one["ports"][0];
    CHECK(port["opening"] == 2);
    CHECK(port["number"] == 1);
    CHECK(port["loudest_db"].get<double>() > 60);
    CHECK(port["limit"] == "port air");
    CHECK(port["fb_hz"].get<double>() == Approx(port["textbook_fb_hz"].get<double>()).epsilon(0.1));
    CHECK(port["hz_per_mm"].get<double>() < 0);
    CHECK(port["tolerance_hz"].get<double>() == Approx(-port["hz_per_mm"].get<double>()));
    CHECK(port["shape_uncertainty_pct"] == 0.0);
    CHECK(port["port_volume_l"].get<double>() == Approx(3.14159265 * 0.27 * 0.27 * 1.2).epsilon(1e-6));
    CHECK(one["alignment"]["wanted_volume_l"].get<double>() > 0);
    const Ended text = runWith({"port", file.path.string()});
    CHECK(text.code == 0);
    CHECK(text.out.find("by the textbook sums") != std::string::npos);
    CHECK(text.out.find("  port 1 (opening 2): round, bore 50\u00A0mm") != std::string::npos);
    CHECK(text.out.find("alignment wants") != std::string::npos);
}

TEST_CASE("a length for a tuning gives that tuning back")
{
    const TemporaryFile file("size.portwright", ported);
    const Json tuned = housingOf({"port", file.path.string(), "--tune", "62"})["sized"];
    CHECK(tuned["fb_hz"].get<double>() == Approx(62).epsilon(1e-6));
    const double length = tuned["port"]["length_mm"].get<double>();
    const Json back = housingOf({"port", file.path.string(), "--length", std::to_string(length)})["sized"];
    CHECK(back["fb_hz"].get<double>() == Approx(62).epsilon(1e-4));
    // What the longer port takes is gone from the cavity.
    CHECK(tuned["net_volume_l"].get<double>() + tuned["port_volume_l"].get<double>() ==
          Approx(9 + 3.14159265 * 0.27 * 0.27 * 1.2).epsilon(1e-6));
}

TEST_CASE("the search lists ports with their reasons, and what was left out")
{
    const TemporaryFile file("search.portwright", ported);
    const Json search = housingOf({"port", file.path.string(), "--search", "--tuning", "50-90", "--bends", "0",
                                   "--step", "2", "--show", "5"})["search"];
    CHECK(search["candidates"].get<int>() > 100);
    CHECK(search["present"]["port"]["length_mm"] == 120.0);
    CHECK(search["present"]["fb_hz"].get<double>() > 60);
    REQUIRE(search["ranked"].size() >= 3);
    for (const Json& port : search["ranked"]) {
        CHECK(port["fb_hz"].get<double>() > 49);
        CHECK(port["fb_hz"].get<double>() < 91);
        CHECK(port["reasons"].size() >= 2);
        CHECK(port["port"]["length_mm"].get<double>() > 0);
    }
    CHECK_FALSE(search["rejected"].empty());
    const Ended text = runWith({"port", file.path.string(), "--search", "--tuning", "50-90", "--step", "5"});
    CHECK(text.code == 0);
    CHECK(text.out.find("Left out:") != std::string::npos);
    CHECK(text.out.find("what you have: ") != std::string::npos);
    CHECK(text.out.find("what you have: ") < text.out.find("alignment wants"));
    CHECK(text.out.find("oudest clean level of all") != std::string::npos);
}

TEST_CASE("the search takes a table of stock, and tells what else there is where nothing fits")
{
    const TemporaryFile file("own.portwright", ported), stock("stock.csv", "kind,name,diameter_mm,wall_mm\n"
                                                                           "tube,rack tube,76,2\n");
    const Json search = housingOf({"port", file.path.string(), "--search", "--stock", stock.path.string(), "--tuning",
                                   "50-60", "--straight", "150", "--tubes", "1"})["search"];
    CHECK(search["ranked"].empty());
    REQUIRE(search["rejected"].size() == 1);
    CHECK(search["rejected"][0]["what"] == "rack tube");
    CHECK(search["rejected"][0]["reason"] == "room");
    CHECK(search["compromises"].size() == 1);
    CHECK(search["other_ways"].size() == 2);
    const TemporaryFile broken("broken.csv", "kind,name,diameter_mm\ntube,a,fat\n");
    const Ended ended = runWith({"port", file.path.string(), "--search", "--stock", broken.path.string()});
    CHECK(ended.code == 1);
    CHECK(lines(ended.err) == 1);
    CHECK(ended.err.find(broken.path.string() + ", line 2") == 0);
}

TEST_CASE(
    "a length is held to the run that is typed or stands in the file, and the net volume that goes with it is told")
{
    const TemporaryFile file("run.portwright", ported);
    const auto sized = [&](const std::vector<std::string>& more) {
        std::vector<std::string> arguments{"port", file.path.string(), "--length", "130"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return runWith(arguments).out;
    };
    CHECK(sized({}).find("    room") == std::string::npos);
    CHECK(sized({"--straight", "400"}).find("    room") == std::string::npos);
    CHECK(sized({"--straight", "100"}).find("not enough: it reaches 130") != std::string::npos);
    const Json json = housingOf({"port", file.path.string(), "--length", "130", "--straight", "140"})["sized"];
    CHECK(json["room"]["fits"] == true);
    CHECK(json["room"]["text"].get<std::string>().find("before its end, less than one bore") != std::string::npos);
    CHECK(sized({}).find("with this length the net volume is") != std::string::npos);
    std::string measured = ported;
    const std::string volume = "\"cavity\":{";
    const std::size_t at = measured.find(volume);
    REQUIRE(at != std::string::npos);
    measured.insert(at + volume.size(), "\"room_for_port\":{\"straight_mm\":100},");
    const TemporaryFile kept("kept.portwright", measured);
    CHECK(runWith({"port", kept.path.string(), "--length", "130"}).out.find("not enough: it reaches 130") !=
          std::string::npos);
    CHECK(runWith({"port", kept.path.string(), "--length", "130", "--straight", "400"}).out.find("    room") ==
          std::string::npos);
}

TEST_CASE("one tuning is searched for within two per cent")
{
    const TemporaryFile file("one-tuning.portwright", ported);
    const Json search = housingOf({"port", file.path.string(), "--search", "--tuning", "75"})["search"];
    REQUIRE(!search["ranked"].empty());
    for (const Json& found : search["ranked"]) {
        CHECK(found["fb_hz"].get<double>() > 75 * 0.975);
        CHECK(found["fb_hz"].get<double>() < 75 * 1.025);
    }
}

TEST_CASE("an error names its place: a file of its own as it is, what is in the project below the project")
{
    const TemporaryFile file("places.portwright", ported);
    const Ended opening = runWith({"port", file.path.string(), "--opening", "9", "--parts", "o"});
    CHECK(opening.code == 1);
    CHECK(opening.err.find(file.path.string() + ", /housings/0/openings") == 0);
    const Ended folder = runWith({"port", file.path.string(), "--parts", "/no/such/folder"});
    CHECK(folder.code == 1);
    CHECK(folder.err.find("/no/such/folder") == 0);
}

TEST_CASE("an option without its action is refused instead of ignored")
{
    const TemporaryFile file("unused.portwright", ported);
    const Ended straight = runWith({"port", file.path.string(), "--straight", "110"});
    CHECK(straight.code == 2);
    CHECK(straight.err.find("--straight belongs to --search, --parts, --tune or --length") != std::string::npos);
    const std::string path = file.path.string();
    for (const auto& [option, value] : {std::pair{"--bends", "1"},
                                        {"--aims", "f3"},
                                        {"--volume-uncertainty", "5"},
                                        {"--measured", "200=60"},
                                        {"--read-as", "dip"},
                                        {"--printer", "200"},
                                        {"--cut-long", "5"},
                                        {"--take", "1"},
                                        {"--stock", "inch"}}) {
        const Ended ended = runWith({"port", path, option, value});
        INFO(option << ": " << ended.err);
        CHECK(ended.code == 2);
        CHECK(ended.err.find(std::string(option) + " belongs to ") != std::string::npos);
    }
    CHECK(runWith({"port", path, "--clean"}).code == 2);
    const Ended empty = runWith({"port", path, "--parts", ""});
    CHECK(empty.code == 2);
    CHECK(empty.err.find("--parts: a value is expected") != std::string::npos);
    const Ended none = runWith({"port", path, "--opening", "9"});
    CHECK(none.code == 1);
    CHECK(none.out.empty());
    CHECK(none.err.find("opening 9 is no port; its ports: opening 2") != std::string::npos);
    CHECK(runWith({"port", path, "--opening", "2"}).code == 0);
    CHECK(
        runWith({"port", sample("lower-fairing"), "--tune", "70"}).err.find("name one with --housing: stock, ported") !=
        std::string::npos);
    CHECK(straight.err.find("(see portwright-cli port --help)") != std::string::npos);
    const Ended parts = runWith(
        {"port", file.path.string(), "--trim", "60", "--measured", "200=62", "--parts", file.path.string() + "-parts"});
    CHECK(parts.code == 2);
    CHECK(lines(parts.err) == 1);
}

TEST_CASE("trimming plans cuts from what was measured")
{
    const TemporaryFile file("trim.portwright", ported);
    const double at200 = housingOf({"port", file.path.string(), "--length", "200"})["sized"]["fb_hz"].get<double>();
    const std::string reading = "200=" + std::to_string(at200) + "+-0.2";
    const Json trim =
        housingOf({"port", file.path.string(), "--trim", "65", "--measured", reading, "--read-as", "tuning"})["trim"];
    CHECK(trim["state"] == "cut");
    CHECK(trim["volume_factor"].get<double>() == Approx(1).margin(1e-4));
    CHECK(trim["take_off_mm"].get<double>() > 0);
    REQUIRE(trim["stages"].size() >= 1);
    CHECK(trim["stages"][0]["take_off_mm"].get<double>() < trim["take_off_mm"].get<double>());
    const Ended text =
        runWith({"port", file.path.string(), "--trim", "65", "--measured", reading, "--read-as", "tuning"});
    CHECK(text.out.find("off") != std::string::npos);
    CHECK(text.out.find("Measured: 200\u00A0mm gave ") != std::string::npos);
    CHECK(text.out.find("no port here") == std::string::npos);
    // What is asked for stands before what there is.
    CHECK(text.out.find("Measured: ") < text.out.find("as it is, port 1 (opening 2)"));
}

TEST_CASE("readings are dips of the impedance unless it is said that they are the tuning itself")
{
    // What a sweep of the demo's ported housing shows, by its own impedance curve (impedance_dip_test.cpp).
    const auto trimmed = [](const std::vector<std::string>& more) {
        std::vector<std::string> arguments{"port",       sample("lower-fairing"), "--housing", "ported", "--trim", "88",
                                           "--measured", "190=75.34,160=79.66"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return housingOf(arguments)["trim"];
    };
    const double right = housingOf(
        {"port", sample("lower-fairing"), "--housing", "ported", "--tune", "88"})["sized"]["port"]["length_mm"];
    CHECK(right == Approx(131.8).margin(0.1));
    const Json dips = trimmed({});
    CHECK(dips["length_mm"].get<double>() == Approx(right).margin(0.1));
    CHECK(dips["readings"][0]["read_as"] == "impedance-dip");
    CHECK(dips["readings"][0]["fb_hz"] == 75.34);
    CHECK(dips["readings"][0]["tuning_hz"].get<double>() == Approx(76.99).margin(0.02));
    const Json stage = dips["stages"][0];
    CHECK(stage["read_as"] == "impedance-dip");
    CHECK(stage["expected_hz"].get<double>() < stage["tuning_hz"].get<double>() - 1);
    CHECK(stage["length_mm"].get<double>() > right);
    CHECK(trimmed({"--read-as", "dip"}) == dips);
    const Json wrong = trimmed({"--read-as", "tuning"});
    CHECK(wrong["readings"][0]["read_as"] == "tuning");
    CHECK(wrong["length_mm"].get<double>() < right - 5);
}

TEST_CASE("readings come one after the other, as a list, or from the file")
{
    const TemporaryFile file("readings.portwright", ported);
    const std::string path = file.path.string();
    const auto at = [&](const char* length) {
        return std::to_string(housingOf({"port", path, "--length", length})["sized"]["fb_hz"].get<double>());
    };
    const std::string first = "220=" + at("220") + "+-0.2", second = "200=" + at("200") + "+-0.2";
    const Json each = housingOf(
        {"port", path, "--trim", "65", "--read-as", "tuning", "--measured", first, "--measured", second})["trim"];
    CHECK(each["readings"].size() == 2);
    CHECK(each["readings_from"] == "options");
    CHECK(housingOf({"port", path, "--trim", "65", "--read-as", "tuning", "--measured", first, second})["trim"] ==
          each);
    CHECK(housingOf({"port", path, "--trim", "65", "--read-as", "tuning", "--measured",
                     first + "," + second})["trim"] == each);
    CHECK(housingOf({"port", "--read-as", "tuning", "--trim", "65", "--measured", first, second, path})["trim"] ==
          each);
    const Ended wrong = runWith({"port", path, "--trim", "65", "--read-as", "tuning", "--measured", "200"});
    CHECK(wrong.code == 2);
    CHECK(wrong.err.find("LENGTH=HZ+-HZ, such as 210=58.2+-0.3") != std::string::npos);

    const std::string kept = R"("readings":[{"length_mm":220,"fb_hz":)" + at("220") +
                             R"(,"uncertainty_hz":0.2},{"length_mm":200,"fb_hz":)" + at("200") +
                             R"(,"uncertainty_hz":0.2}],"inner_end":"free")";
    const TemporaryFile trimmed("trimmed.portwright", replaced(ported, R"("inner_end":"free")", kept));
    const Json own = housingOf({"port", trimmed.path.string(), "--trim", "65"})["trim"];
    CHECK(own["readings_from"] == "file");
    CHECK(own["take_off_mm"].get<double>() == Approx(each["take_off_mm"].get<double>()).epsilon(1e-6));
    const Ended text = runWith({"port", trimmed.path.string(), "--trim", "65"});
    CHECK(text.out.find("Measured, as the file has it: 220\u00A0mm gave ") != std::string::npos);
    const Ended without = runWith({"port", path, "--trim", "65"});
    CHECK(without.code == 1);
    CHECK(without.err.find("the file holds no readings of this port; give --measured LENGTH=HZ") != std::string::npos);
    const TemporaryFile cut(
        "cut.portwright",
        replaced(ported, R"("inner_end":"free")", R"("readings":[{"length_mm":200,"fb_hz":0}],"inner_end":"free")"));
    const Ended unswept = runWith({"port", cut.path.string(), "--trim", "65"});
    CHECK(unswept.code == 1);
    CHECK(lines(unswept.err) == 1);
}

TEST_CASE("the parts of the search are those of the port that is taken, cut from the stock it was found in")
{
    const TemporaryFile file("take.portwright", ported), stock("bars.csv", "kind,name,diameter_mm,wall_mm,length_mm\n"
                                                                           "tube,short pipe,50,2,350\n"
                                                                           "tube,long pipe,50,3,600\n");
    const auto folder = std::filesystem::temp_directory_path() / ("portwright-" + std::to_string(::getpid()) + "-take");
    const auto listOf = [&] {
        std::ifstream list(folder / "parts.txt");
        return std::string{std::istreambuf_iterator<char>(list), {}};
    };
    const std::vector<std::string> search{
        "port", file.path.string(), "--search", "--stock", stock.path.string(), "--bends", "0", "--tubes",
        "1",    "--step",           "5"};
    const auto taking = [&](std::vector<std::string> more) {
        more.insert(more.begin(), search.begin(), search.end());
        more.insert(more.end(), {"--parts", folder.string()});
        return runWith(more);
    };
    const Json ranked = housingOf(search)["search"]["ranked"];
    REQUIRE(ranked.size() >= 2);
    const Ended second = taking({"--take", "2"});
    INFO(second.err);
    REQUIRE(second.code == 0);
    CHECK(second.err.empty());
    const std::string words = ranked[1]["text"].get<std::string>();
    CHECK(second.out.find("made: number 2 of the search: " + words) != std::string::npos);
    const double bar = words.find("short") != std::string::npos ? 350 : 600;
    CHECK(listOf().find(bar == 350 ? "Stock 1 of 350.0\u00A0mm" : "Stock 1 of 600.0\u00A0mm") != std::string::npos);
    CHECK(taking({}).out.find("made: number 1 of the search: " + ranked[0]["text"].get<std::string>()) !=
          std::string::npos);
    const Ended many = taking({"--take", "90"});
    CHECK(many.code == 1);
    CHECK(many.err.find("--take is 90") != std::string::npos);
    // The port of the file, from the same table: 50 mm with a wall of 2 mm.
    const Ended own = runWith({"port", file.path.string(), "--stock", stock.path.string(), "--parts", folder.string()});
    CHECK(own.code == 0);
    CHECK(own.out.find("made: port 1 (opening 2) as the file has it") != std::string::npos);
    CHECK(listOf().find("Stock 1 of 350.0\u00A0mm") != std::string::npos);
    const Ended inch = runWith({"port", file.path.string(), "--stock", "inch", "--parts", folder.string()});
    CHECK(inch.out.find("The stock has no tube of that bore and wall: the cut list is planned on pieces of") !=
          std::string::npos);
    std::filesystem::remove_all(folder);
}

TEST_CASE("a folder that held parts is named in a warning")
{
    const TemporaryFile file("again.portwright", ported);
    const auto folder =
        std::filesystem::temp_directory_path() / ("portwright-" + std::to_string(::getpid()) + "-again");
    const std::vector<std::string> arguments{"port", file.path.string(), "--parts", folder.string()};
    CHECK(runWith(arguments).err.empty());
    std::ofstream(folder / "printed-port-1-of-3.stl") << "old";
    const Ended again = runWith(arguments);
    CHECK(again.code == 0);
    CHECK(lines(again.err) == 2);
    CHECK(again.err.find("warning: " + folder.string() +
                         ": files of these names were there and have been replaced: "
                         "parts.txt, ") == 0);
    CHECK(again.err.find("these are of an earlier set and do not belong to it: printed-port-1-of-3.stl\n") !=
          std::string::npos);
    std::filesystem::remove_all(folder);
}

TEST_CASE("parts of the sized port are written into a folder")
{
    const TemporaryFile file("parts.portwright", ported);
    const auto folder =
        std::filesystem::temp_directory_path() / ("portwright-" + std::to_string(::getpid()) + "-parts");
    const Json one = housingOf({"port", file.path.string(), "--tune", "62", "--parts", folder.string()});
    REQUIRE(one["written"].size() >= 2);
    for (const Json& path : one["written"])
        CHECK(std::filesystem::exists(path.get<std::string>()));
    std::filesystem::remove_all(folder);
    const Ended nowhere = runWith({"port", file.path.string(), "--parts", "/no/such/place/here"});
    CHECK(nowhere.code == 1);
    CHECK(lines(nowhere.err) == 1);
}

TEST_CASE("templates are painted on the paper asked for, and come with the parts; pieces fit the printer")
{
    const TemporaryFile file("templates.portwright", ported);
    const auto folder =
        std::filesystem::temp_directory_path() / ("portwright-" + std::to_string(::getpid()) + "-templates");
    const auto port = [&](const std::vector<std::string>& more, const PaintTemplates& paint) {
        std::vector<std::string> arguments{"port", file.path.string(), "--parts", folder.string()};
        arguments.insert(arguments.end(), more.begin(), more.end());
        std::ostringstream out, err;
        const int code = run(arguments, out, err, nullptr, paint);
        return Ended{code, out.str(), err.str()};
    };
    TemplatePaper asked = TemplatePaper::a4;
    const PaintTemplates painter = [&](const std::vector<portwright::PartTemplate>& templates, TemplatePaper paper) {
        asked = paper;
        std::vector<portwright::PartFile> files;
        for (const portwright::PartTemplate& each : templates)
            files.push_back({each.name + ".pdf", each.drawing.title});
        return portwright::Result<std::vector<portwright::PartFile>>(files);
    };
    const Ended ended = port({"--paper", "letter", "--printer", "100", "--cut-long", "15"}, painter);
    INFO(ended.err);
    REQUIRE(ended.code == 0);
    CHECK(asked == TemplatePaper::letter);
    CHECK(std::filesystem::exists(folder / "tube-template.pdf"));
    CHECK(std::filesystem::exists(folder / "printed-template.pdf"));
    CHECK(std::filesystem::exists(folder / "printed-port-1-of-2.stl"));
    std::ifstream list(folder / "parts.txt");
    const std::string text{std::istreambuf_iterator<char>(list), {}};
    CHECK(text.find("The inner end is cut 15.0\u00A0mm longer") != std::string::npos);
    std::filesystem::remove_all(folder);

    const Ended unpainted =
        port({}, [](const auto&, TemplatePaper) -> portwright::Result<std::vector<portwright::PartFile>> {
            return portwright::fail("", "memory is short");
        });
    CHECK(unpainted.code == 1);
    CHECK(unpainted.err.find("memory is short") != std::string::npos);
    CHECK_FALSE(std::filesystem::exists(folder));
    CHECK(port({"--paper", "a3"}, painter).code == 2);
    CHECK(port({"--printer", "1"}, painter).code == 2);
}

TEST_CASE("port tells of every housing of the samples, ported or not")
{
    for (const char* name : {"lower-fairing", "larger-lower-measured", "saddlebag-lid-6x9"}) {
        const Ended ended = runWith({"port", sample(name)});
        INFO(name << ": " << ended.err);
        CHECK(ended.code == 0);
        CHECK(ended.out.find("no port here") != std::string::npos);
    }
}

TEST_CASE("a port of the second cavity is told, sized and made like any other, and not searched for")
{
    const TemporaryFile job("second.portwright",
                            replaced(ported, R"("openings":[{"kind":"leak","q":7},)",
                                     R"("second_cavity":{"net_volume_l":4,"hole":{"diameter_mm":40,"depth_mm":5}},
   "openings":[{"kind":"leak","q":7},{"kind":"port","cavity":"second","shape":"round","diameter_mm":45,"wall_mm":2,
     "length_mm":90,"inner_end":"free","outer_end":"flush"},)"));
    const std::string path = job.path.string();
    const Json all = housingOf({"port", path});
    REQUIRE(all["ports"].size() == 2);
    CHECK(all["ports"][0]["opening"] == 2);
    CHECK(all["ports"][0]["net_volume_l"].get<double>() == Approx(4));
    const double tuning = all["ports"][0]["fb_hz"];
    const Json sized = housingOf({"port", path, "--opening", "2", "--tune", std::to_string(0.8 * tuning)})["sized"];
    CHECK(sized["fb_hz"].get<double>() == Approx(0.8 * tuning).epsilon(1e-4));
    CHECK(sized["port"]["length_mm"].get<double>() > 90);
    CHECK(sized["net_volume_l"].get<double>() + sized["port_volume_l"].get<double>() ==
          Approx(4 + all["ports"][0]["port_volume_l"].get<double>()));
    CHECK(runWith({"port", path}).out.find("second cavity") != std::string::npos);
    const Ended search = runWith({"port", path, "--opening", "2", "--search"});
    CHECK(search.code == 1);
    CHECK(search.err.find("this port is in the second cavity") != std::string::npos);
    // Without a name the port of the main cavity is meant.
    CHECK(housingOf({"port", path, "--length", "120"})["sized"]["opening"] == 3);
}

TEST_CASE("what port cannot do is one line")
{
    const TemporaryFile file("wrong.portwright", ported), sealed("sealed.portwright", soundProject);
    const std::string path = file.path.string();
    for (const auto& arguments : {std::vector<std::string>{"port", path, "--tune", "400"},
                                  {"port", path, "--length", "2900"},
                                  {"port", path, "--opening", "1", "--tune", "60"},
                                  {"port", path, "--trim", "65", "--measured", "200=300"},
                                  {"port", path, "--trim", "65"},
                                  {"port", path, "--housing", "two", "--tune", "60"},
                                  {"port", sealed.path.string(), "--tune", "60"},
                                  {"port", sample("lower-fairing"), "--tune", "60"},
                                  {"port", path, "--search", "--stock", "/no/such/stock.csv"},
                                  {"port", "/no/such.portwright"}}) {
        const Ended ended = runWith(arguments);
        INFO(arguments[1] << " -> " << ended.err << ended.out);
        CHECK(ended.code == 1);
        CHECK(ended.out.empty());
        CHECK(lines(ended.err) == 1);
    }
}

TEST_CASE("wrong options of port are wrong usage")
{
    const TemporaryFile file("use.portwright", ported);
    const std::string path = file.path.string();
    for (const auto& arguments : {std::vector<std::string>{"port"},
                                  {"port", path, "--tune", "fast"},
                                  {"port", path, "--tune", "60", "--length", "100"},
                                  {"port", path, "--search", "--aims", "cheap"},
                                  {"port", path, "--search", "--aims", "f3,f3"},
                                  {"port", path, "--search", "--band", "160-40"},
                                  {"port", path, "--search", "--band", "60"},
                                  {"port", path, "--search", "--tubes", "0"},
                                  {"port", path, "--search", "--mouth", "120"},
                                  {"port", path, "--search", "--bends", "3"},
                                  {"port", path, "--search", "--shared-walls", "4"},
                                  {"port", path, "--measured", "200=60"},
                                  {"port", path, "--trim", "60", "--measured", "200"},
                                  {"port", path, "--trim", "60", "--measured", "200=60+-x"},
                                  {"port", path, "--format", "csv"}}) {
        const Ended ended = runWith(arguments);
        INFO(arguments.back() << " -> " << ended.err);
        CHECK(ended.code == 2);
        CHECK(ended.out.empty());
        CHECK(lines(ended.err) == 1);
    }
}
