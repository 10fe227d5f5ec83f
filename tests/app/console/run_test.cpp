// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/console/console.h"

#include <catch2/catch.hpp>

using namespace portwright::console;

TEST_CASE("help and version are results, with exit 0")
{
    for (const auto& arguments : {std::vector<std::string>{"--help"}, {"solve", "--help"}, {"chart", "--help"}}) {
        const Ended ended = runWith(arguments);
        CHECK(ended.code == 0);
        CHECK(ended.out.find("Usage: portwright-cli") != std::string::npos);
        CHECK(ended.err.empty());
    }
    const Ended version = runWith({"--version"});
    CHECK(version.code == 0);
    CHECK(version.out.starts_with("portwright-cli "));
    CHECK(lines(version.out) == 1);
}

TEST_CASE("wrong usage is exit 2, one line on standard error and nothing on standard output")
{
    const std::string project = sample("lower-fairing");
    const std::vector<std::vector<std::string>> wrong{{},
                                                      {"bogus"},
                                                      {"bo\ngus"},
                                                      {"solve"},
                                                      {"solve", project, "extra"},
                                                      {"solve", project, "--format", "xml"},
                                                      {"solve", project, "--points", "1"},
                                                      {"solve", project, "--points", "99999999999"},
                                                      {"solve", project, "--points", "4.5"},
                                                      {"solve", project, "--from", "nan"},
                                                      {"solve", project, "--from", "-5"},
                                                      {"solve", project, "--from", "100", "--to", "50"},
                                                      {"solve", project, "--from", "80", "--to", "80"},
                                                      {"solve", project, "--to", "1e9"},
                                                      {"solve", project, "--nonsense"},
                                                      {"compare", project, "--format", "xml"},
                                                      {"why", project, "--at", "0"},
                                                      {"why", project, "--at", "low"},
                                                      {"why", project, "--format", "csv"},
                                                      {"chart", project},
                                                      {"chart", project, "-o", "a.gif"},
                                                      {"chart", project, "-o", "a.png", "--size", "huge"},
                                                      {"chart", project, "-o", "a.png", "--size", "99999x10"}};
    for (const auto& arguments : wrong) {
        const Ended ended = runWith(arguments);
        INFO((arguments.empty() ? "" : arguments.back()) << " -> " << ended.err);
        CHECK(ended.code == 2);
        CHECK(ended.out.empty());
        CHECK(lines(ended.err) == 1);
        CHECK(ended.err.starts_with("portwright-cli: "));
    }
}

TEST_CASE("wrong input is exit 1, with file, place, found and allowed in one line")
{
    const TemporaryFile file("bad.portwright", replaced(soundProject, "5.2", "-5.2"));
    for (const char* command : {"solve", "compare"}) {
        const Ended ended = runWith({command, file.path.string()});
        CHECK(ended.code == 1);
        CHECK(ended.out.empty());
        CHECK(ended.err == file.path.string() +
                               ", /housings/0/cavity/net_volume_l: net_volume_l is -5.2; allowed is 0.02 to 2000 L\n");
    }
    const TemporaryFile cut("cut.portwright", soundProject.substr(0, 100));
    CHECK(runWith({"solve", cut.path.string()}).err.starts_with(cut.path.string() + ", line 2: this is not JSON"));
    const Ended none = runWith({"solve", "/nowhere/none.portwright"});
    CHECK(none.code == 1);
    CHECK(none.err == "/nowhere/none.portwright: there is no such file; check the name and the folder\n");
}

TEST_CASE("a file that is no project is told what is wanted")
{
    const TemporaryFile table("table.csv", "at_mm,shape\n0,rectangle\n");
    for (const char* command : {"solve", "compare", "why"}) {
        const Ended ended = runWith({command, table.path.string()});
        CHECK(ended.code == 1);
        CHECK(ended.err.starts_with(table.path.string() +
                                    ", line 1: a project file (.portwright) is wanted here; this is not JSON"));
        CHECK(lines(ended.err) == 1);
    }
}

TEST_CASE("a driver that cannot be completed is named with its place")
{
    const TemporaryFile file("gap.portwright", replaced(soundProject, "\"re_ohm\":3.3,", ""));
    const Ended ended = runWith({"solve", file.path.string()});
    CHECK(ended.code == 1);
    CHECK(ended.err.starts_with(file.path.string() + ", /"));
    CHECK(ended.err.find("re_ohm is missing") != std::string::npos);
    CHECK(lines(ended.err) == 1);
}

TEST_CASE("a project without housings has nothing to solve, and says so")
{
    const TemporaryFile file("empty.portwright",
                             R"({"format":"portwright-project","version":1,"drivers":[],"housings":[]})");
    const Ended ended = runWith({"compare", file.path.string()});
    CHECK(ended.code == 1);
    CHECK(ended.err == file.path.string() + ", /housings: housings is empty; at least one housing is expected\n");
}

TEST_CASE("warnings are lines of their own and do not spoil the result")
{
    const TemporaryFile file("warn.portwright",
                             replaced(soundProject, "\"version\":1,", "\"version\":1, \"col\\nour\": 5,"));
    const Ended ended = runWith({"solve", file.path.string()});
    CHECK(ended.code == 0);
    CHECK(lines(ended.err) == 1);
    CHECK(ended.err.starts_with("warning: " + file.path.string() + ", /col"));
    CHECK_FALSE(ended.out.empty());
}

TEST_CASE("results that cannot be written are exit 1")
{
    std::ostringstream err;
    std::ofstream full("/dev/full");
    REQUIRE(full);
    CHECK(run({"solve", sample("lower-fairing")}, full, err, nullptr) == wrongInput);
    CHECK(lines(err.str()) == 1);
}
