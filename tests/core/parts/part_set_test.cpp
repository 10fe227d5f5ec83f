// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/part_set.h"

#include "core/constants.h"
#include "core/mesh/mesh_formats.h"
#include "tests/core/mesh/mesh_makers.h"
#include "tests/core/parts/random_port.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <csignal>
#include <fstream>
#include <iterator>
#include <set>
#include <sys/mount.h>
#include <sys/resource.h>

using namespace portwright;
using namespace portwright::test;
namespace fs = std::filesystem;

namespace {

Housing housingWith(std::vector<PortOpening> ports)
{
    Housing housing;
    housing.id = "lower", housing.name = "Lower, ported (invented)";
    for (PortOpening& port : ports)
        housing.openings.push_back({std::move(port), {}, {}});
    return housing;
}

std::set<std::string> namesIn(const fs::path& folder)
{
    std::set<std::string> names;
    for (const auto& entry : fs::directory_iterator(folder))
        names.insert(entry.path().filename().string());
    return names;
}

std::string contents(const fs::path& path)
{
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

const PartFile* fileNamed(const PartSet& set, const std::string& name)
{
    const auto at = std::find_if(set.files.begin(), set.files.end(), [&](const PartFile& f) { return f.name == name; });
    return at == set.files.end() ? nullptr : &*at;
}

}  // namespace

TEST_CASE("a round port comes as cut list, templates of both ways and printed pieces")
{
    PortOpening port = roundPort(0.05, 0.163);
    port.wall = 2.5e-3;
    PartOptions options;
    options.printerHeight = 0.1, options.cutLong = 0.02;
    const auto set = partsOf(housingWith({port}), options);
    REQUIRE(set);
    std::set<std::string> names;
    for (const PartFile& file : set->files)
        names.insert(file.name);
    CHECK(names == std::set<std::string>{"parts.txt", "tube-template.svg", "tube-template.dxf", "printed-template.svg",
                                         "printed-template.dxf", "printed-port-1-of-2.stl", "printed-port-2-of-2.stl"});
    CHECK(set->templates.size() == 2);
    CHECK(set->remarks.empty());
    CHECK(set->text == set->files[0].bytes);
    for (const char* words :
         {"Port 1: round, bore 50.0\u00A0mm, 163.0\u00A0mm long", "1 x tube, 183.0\u00A0mm",
          "Stock 1 of 1000.0\u00A0mm: tube 183.0\u00A0mm; rest 815.0\u00A0mm",
          "The inner end is cut 20.0\u00A0mm longer", "The inner end is printed 20.0\u00A0mm longer", "Piece 2 of 2"})
        CHECK(has(set->text, words));
    // The cautions that belong to cutting, printing and fitting.
    for (const char* words : {"20\u00A0\u00B0C", "PLA softens near 60", "Styrene", "P100", "thread-locker", "full lock",
                              "fuel and brake lines", "from the exhaust", "maker's manual", "local codes"})
        CHECK(has(set->text, words));
    const auto mesh = meshFromBinaryStl(fileNamed(*set, "printed-port-1-of-2.stl")->bytes);
    REQUIRE(mesh);
    CHECK(boundsOf(*mesh).high[2] == Approx((183 - 8) / 2.0 + 8).epsilon(1e-6));  // mm in the file, 20 mm cut long
}

TEST_CASE("what a port does not allow is told, and the rest is made")
{
    PortOpening bent = roundPort(0.05, 0.3);
    bent.bends = {{pi / 2, 0.027, {}}};
    const auto set = partsOf(housingWith({bent}), {});
    REQUIRE(set);
    REQUIRE(set->remarks.size() == 1);
    CHECK(has(set->remarks[0], "leaves no room for a wall of 3.0\u00A0mm on its inside"));
    CHECK(
        has(set->text, "1 x bend of 90.0\u00B0, centre-line radius 27.0\u00A0mm, 42.4\u00A0mm along the centre line"));
    CHECK(has(set->text, "How far the port may run behind its wall and across is not known"));
    CHECK(fileNamed(*set, "tube-template.dxf"));
    CHECK_FALSE(fileNamed(*set, "printed-template.dxf"));

    PartOptions options;
    options.tubeStock = {{0.1, {}}};
    const auto lacking = partsOf(housingWith({roundPort(0.05, 0.163)}), options);
    REQUIRE(lacking);
    CHECK(has(lacking->text, "a piece of 163.0\u00A0mm is longer than the longest stock, 100.0\u00A0mm"));
    CHECK(fileNamed(*lacking, "printed-port.stl"));
}

TEST_CASE("two ports of a housing keep apart by name, and a slot comes from panels")
{
    PortOpening shelf = slotPort(0.12, 0.03, 0.25);
    shelf.sharedWalls = 3;
    const auto set = partsOf(housingWith({roundPort(0.05, 0.1), shelf}), {});
    REQUIRE(set);
    CHECK(fileNamed(*set, "port-1-tube-template.svg"));
    CHECK(fileNamed(*set, "port-1-printed-port.stl"));
    CHECK(fileNamed(*set, "port-2-panel-template.svg"));
    CHECK(has(set->text, "3 walls shared with the cavity"));
    CHECK(has(set->text, "1 x broad wall, 120.0\u00A0mm by 250.0\u00A0mm"));
    CHECK(has(set->remarks.at(0), "port 2: "));
    const auto one = partsOf(housingWith({roundPort(0.05, 0.1), shelf}), {}, 1);
    REQUIRE(one);
    CHECK(fileNamed(*one, "port-2-panel-template.svg"));
    CHECK_FALSE(fileNamed(*one, "port-1-tube-template.svg"));
    CHECK(has(one->text, "Port 2: "));
    CHECK_FALSE(has(one->text, "Port 1: "));
    CHECK(has(set->text, "Panels 12.0\u00A0mm thick"));
    PortOpening thin = slotPort(0.08, 0.012, 0.2);
    thin.wall = 4e-3;  // as a search found it in stock
    const auto own = partsOf(housingWith({thin}), {});
    REQUIRE(own);
    CHECK(has(own->text, "Panels 4.0\u00A0mm thick"));
    CHECK(has(own->text, "broad wall, 88.0\u00A0mm by 200.0\u00A0mm"));  // 80 mm and a side on either
}

TEST_CASE("inches stand beside millimetres for a US shop")
{
    PartOptions options;
    options.units = UnitSystem::us;
    const auto set = partsOf(housingWith({roundPort(0.0508, 0.1524)}), options);
    REQUIRE(set);
    CHECK(has(set->text, "1 x tube, 152.4\u00A0mm (6.000\u00A0in)"));
    CHECK(has(set->text, "36\u00A0\u00B0F"));
}

TEST_CASE("a housing without a port, and nonsense, are refused")
{
    CHECK(partsOf(housingWith({}), {}).error().message == "this housing has no port, so there are no parts to make");
    CHECK(partsOf(housingWith({roundPort(-0.05, 0.1)}), {}).error().message ==
          "the bore is -50 mm; allowed is above 0 to 1000 mm");
    PartOptions options;
    options.kerf = -1;
    CHECK(partsOf(housingWith({roundPort(0.05, 0.1)}), options).error().message ==
          "the kerf is -1000 mm; allowed is 0 to 20 mm");
}

TEST_CASE("parts are written into a folder, made if the one above is there; older ones are replaced, others kept")
{
    const MeshFolder base;
    const fs::path folder = base.path() / "parts";
    const auto paths = writeParts(folder, {{"a.txt", "one"}, {"b.dxf", "two"}});
    REQUIRE(paths);
    CHECK(*paths == std::vector<std::string>{(folder / "a.txt").string(), (folder / "b.dxf").string()});
    std::ofstream(folder / "own.txt") << "kept";
    REQUIRE(writeParts(folder, {{"a.txt", "new"}}));
    CHECK(contents(folder / "a.txt") == "new");
    CHECK(namesIn(folder) == std::set<std::string>{"a.txt", "b.dxf", "own.txt"});
}

TEST_CASE("what a folder already holds is told before parts are written")
{
    const MeshFolder base;
    const std::vector<PartFile> files{{"parts.txt", "x"}, {"tube-template.svg", "x"}};
    for (const char* name :
         {"parts.txt", "printed-port-1-of-2.stl", "port-2-panel-template.dxf", "own.txt", "parts.bak"})
        base.write(name, "old");
    const FolderBefore before = folderBefore(base.path(), files);
    CHECK(before.replaced == std::vector<std::string>{"parts.txt"});
    CHECK(before.leftOver == std::vector<std::string>{"port-2-panel-template.dxf", "printed-port-1-of-2.stl"});
    const FolderBefore none = folderBefore(base.path() / "not there", files);
    CHECK(none.replaced.empty());
    CHECK(none.leftOver.empty());
}

TEST_CASE("a bent port comes as sawn pieces and as printed ones, its legs by the cavity")
{
    PortOpening bent = roundPort(0.05, 0.35);
    bent.wall = 2.5e-3;
    bent.bends = {{pi / 2, 0.06, {}}};
    Housing housing = housingWith({bent});
    housing.cavity.netVolume = 0.012;
    housing.cavity.width = 0.3, housing.cavity.breadth = 0.2, housing.cavity.depth = 0.2;
    const auto set = partsOf(housing, {});
    REQUIRE(set);
    CHECK(set->remarks.empty());
    CHECK(has(set->text, "Legs keep to 200.0\u00A0mm behind the wall and 300.0\u00A0mm across"));
    CHECK(has(set->text, "1 x tube, outer end, 112.5\u00A0mm"));  // 200 - 60 - 27.5
    CHECK(has(set->text, "1 x tube, inner end, 143.3\u00A0mm"));
    CHECK(fileNamed(*set, "printed-template.dxf"));
    CHECK(fileNamed(*set, "printed-port-1-of-2.stl"));
    Housing measured = housing;
    measured.cavity.roomForPort.emplace().straight = 0.1;
    const auto tight = partsOf(measured, {});
    REQUIRE(tight);
    CHECK(has(tight->remarks.at(0), "does not go into"));
}

TEST_CASE("a folder that cannot be is one sentence")
{
    const MeshFolder base;
    const auto message = [](const fs::path& folder) {
        const auto paths = writeParts(folder, {{"a.txt", "one"}});
        REQUIRE(!paths);
        CHECK(paths.error().field.find(folder.string()) == 0);
        return paths.error().message;
    };
    CHECK(message(base.path() / "not" / "there") ==
          "the folder cannot be made (No such file or directory); choose another place");
    const fs::path file = base.write("file", "x");
    CHECK(message(file) == "this is a file, not a folder; choose another name");
    CHECK(message("/proc/parts-of-a-port") ==
          "the folder cannot be made (No such file or directory); choose another place");
    fs::create_directory(base.path() / "a.txt");
    CHECK(message(base.path()) == "a folder of this name is in the way; choose another place");
    CHECK(namesIn(base.path()) == std::set<std::string>{"a.txt", "file"});
}

TEST_CASE("where not all can be written nothing is: neither new files nor a new folder, and old ones stay")
{
    const MeshFolder base;
    const fs::path folder = base.path() / "parts";
    const std::vector<PartFile> files{{"a.txt", "short"}, {"b.stl", std::string(5000, 'x')}};
    const auto limited = [&] {
        auto* const before = std::signal(SIGXFSZ, SIG_IGN);
        rlimit limit{};
        ::getrlimit(RLIMIT_FSIZE, &limit);
        const rlimit low{1000, limit.rlim_max};
        REQUIRE(::setrlimit(RLIMIT_FSIZE, &low) == 0);
        auto paths = writeParts(folder, files);
        ::setrlimit(RLIMIT_FSIZE, &limit);
        std::signal(SIGXFSZ, before);
        return paths;
    };
    const auto first = limited();
    REQUIRE(!first);
    CHECK(first.error().field == (folder / "b.stl").string());
    CHECK(first.error().message == "not all could be written, a size limit is reached; save elsewhere");
    CHECK_FALSE(fs::exists(folder));

    REQUIRE(writeParts(folder, {{"a.txt", "old"}}));
    REQUIRE(!limited());
    CHECK(contents(folder / "a.txt") == "old");
    CHECK(namesIn(folder) == std::set<std::string>{"a.txt"});
}

TEST_CASE("a full disk is told, and the parts that were there are whole")
{
    const MeshFolder base;
    if (::mount("tmpfs", base.path().c_str(), "tmpfs", 0, "size=96k") != 0) {
        WARN("no right to mount a small disk here: checked by the size limit alone");
        return;
    }
    const bool first = writeParts(base.path(), {{"a.txt", "old"}}).has_value();
    const auto full = writeParts(base.path(), {{"a.txt", "new"}, {"b.stl", std::string(200000, 'x')}});
    const std::string after = contents(base.path() / "a.txt");
    const auto names = namesIn(base.path());
    ::umount(base.path().c_str());
    CHECK(first);
    REQUIRE(!full);
    CHECK(full.error().message == "the disk is full; free some space or save elsewhere");
    CHECK(after == "old");
    CHECK(names == std::set<std::string>{"a.txt"});
}
