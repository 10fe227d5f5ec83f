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
#include <sys/stat.h>
#include <unistd.h>

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
    for (const std::string& remark : set->remarks)
        UNSCOPED_INFO(remark);
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

TEST_CASE("a tube is told by its outside too, or that its hole cannot be known without it")
{
    PortOpening tube = roundPort(0.05, 0.15);
    tube.wall = 2.5e-3;
    CHECK(has(partsOf(housingWith({tube}), {})->text,
              "Tube of bore 50.0\u00A0mm, wall 2.5\u00A0mm, 55.0\u00A0mm outside."));
    tube.wall.reset();
    CHECK(has(partsOf(housingWith({tube}), {})->text, "its hole is drawn for the bore: measure its outside"));
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

namespace {

constexpr uid_t nobody = 65534;

/// As a user without rights, where the test runs as root.
class Unprivileged {
public:
    Unprivileged() { ok_ = ::geteuid() != 0 || ::seteuid(nobody) == 0; }
    Unprivileged(const Unprivileged&) = delete;
    Unprivileged& operator=(const Unprivileged&) = delete;
    ~Unprivileged()
    {
        if (::getuid() == 0) (void)!::seteuid(0);
    }
    bool ok() const { return ok_; }

private:
    bool ok_ = false;
};

Result<std::vector<std::string>> writtenUnprivileged(const fs::path& folder, const std::vector<PartFile>& files)
{
    const Unprivileged user;
    REQUIRE(user.ok());
    return writeParts(folder, files);
}

}  // namespace

TEST_CASE("in a folder that is read-only, or may not be looked into, nothing is written and that is told")
{
    const MeshFolder base;
    const fs::path folder = base.path() / "parts";
    REQUIRE(writeParts(folder, {{"a.txt", "old"}}));
    REQUIRE(::chmod(base.path().c_str(), 0755) == 0);
    for (const mode_t mode : {mode_t(0555), mode_t(0000)}) {
        REQUIRE(::chmod(folder.c_str(), mode) == 0);
        const auto written = writtenUnprivileged(folder, {{"a.txt", "new"}, {"b.txt", "new"}});
        FolderBefore before;
        {
            const Unprivileged user;
            before = folderBefore(folder, {{"a.txt", "new"}});
        }
        REQUIRE(::chmod(folder.c_str(), 0755) == 0);
        REQUIRE(!written);
        CHECK(written.error().field == folder.string());
        CHECK(written.error().message == "nothing can be written there (Permission denied); choose another folder");
        CHECK(before.replaced == (mode == 0 ? std::vector<std::string>{} : std::vector<std::string>{"a.txt"}));
        CHECK(contents(folder / "a.txt") == "old");
        CHECK(namesIn(folder) == std::set<std::string>{"a.txt"});
    }
}

TEST_CASE("where one file cannot be replaced those replaced before are put back, and new ones are gone")
{
    if (::geteuid() != 0) {
        WARN("no right to make files of another user here: not checked");
        return;
    }
    const MeshFolder base;
    const fs::path folder = base.path() / "parts";
    REQUIRE(writeParts(folder, {{"a.txt", "old a"}, {"c.txt", "old c"}}));
    // Where all may write, only its owner may move a file.
    REQUIRE(::chmod(base.path().c_str(), 0755) == 0);
    REQUIRE(::chmod(folder.c_str(), 01777) == 0);
    REQUIRE(::chown((folder / "a.txt").c_str(), nobody, nobody) == 0);
    const auto written =
        writtenUnprivileged(folder, {{"a.txt", "new a"}, {"b.txt", "new b"}, {"c.txt", "new c"}, {"d.txt", "new d"}});
    REQUIRE(!written);
    CHECK(written.error().field == (folder / "c.txt").string());
    CHECK(written.error().message == "the file could not be moved into place (Operation not permitted); nothing was "
                                     "changed, choose another folder");
    CHECK(contents(folder / "a.txt") == "old a");
    CHECK(contents(folder / "c.txt") == "old c");
    CHECK(namesIn(folder) == std::set<std::string>{"a.txt", "c.txt"});
}

TEST_CASE("every part says which job, housing and port it is for, by what program, and not when")
{
    PortOpening port = roundPort(0.05, 0.148 + 0.06 * pi / 2);
    port.bends = {{pi / 2, 0.06, {}}};
    const auto set = partsOf(housingWith({port}), {}, {}, "Both sides (invented)");
    REQUIRE(set);
    const std::string port1 = "Port 1: 50\u00A0mm tube, 242.2\u00A0mm, one bend";
    for (const PartTemplate& one : set->templates) {
        std::set<std::string> words;
        for (const DrawingItem& item : one.drawing.items)
            if (const auto* text = std::get_if<DrawnText>(&item.what)) words.insert(text->words);
        CHECK(words.count("Job: Both sides (invented)") == 1);
        CHECK(words.count("Housing: Lower, ported (invented)") == 1);
        CHECK(words.count(port1) == 1);
    }
    CHECK(has(set->text, "Job \"Both sides (invented)\""));
    const auto now = partsOf(housingWith({port}), {}, {}, "Both sides (invented)");
    for (const PartFile& file : set->files) {
        const bool stl = has(file.name, ".stl");
        CHECK(has(file.bytes, "Portwright "));
        CHECK(has(file.bytes, stl ? "Port 1: 50 mm tube, 242.2 mm, one bend; Housing: Lower, p" : "(invented)"));
        if (stl) CHECK(isBinaryStl(file.bytes));
        CHECK(fileNamed(*now, file.name)->bytes == file.bytes);
    }
}

TEST_CASE("names of any length and letters leave every file whole")
{
    std::string longName;
    for (int i = 0; i < 200; ++i)
        longName += "\u5E95 \U0001F3CD";  // letters of three and four bytes
    for (const std::string& name : {longName, std::string(3000, 'x'), std::string("%%c \\U+0041 ^J <&\"> \n\t"),
                                    std::string("solid facet normal"), std::string()}) {
        Housing housing = housingWith({roundPort(0.05, 0.1)});
        housing.name = name;
        const auto set = partsOf(housing, {}, {}, name);
        REQUIRE(set);
        for (const PartFile& file : set->files) {
            if (has(file.name, ".stl")) {
                REQUIRE(isBinaryStl(file.bytes));
                CHECK(meshFromBinaryStl(file.bytes));
                CHECK(file.bytes.substr(0, 5) != "solid");
                for (const char c : file.bytes.substr(0, 80))
                    CHECK((c >= 0x20 && c < 0x7F));
            }
            if (!has(file.name, ".dxf")) continue;
            std::size_t longest = 0, at = 0;
            for (std::size_t end = 0; (end = file.bytes.find('\n', at)) != std::string::npos; at = end + 1)
                longest = std::max(longest, end - at);
            CHECK(longest <= 255);  // what a string of the format may have
            CHECK(std::all_of(file.bytes.begin(), file.bytes.end(), [](char c) { return c > 0; }));
        }
        // Names take no more room than the words beside them.
        const DrawingBounds bounds = boundsOf(set->templates[0].drawing);
        CHECK(bounds.high[0] - bounds.low[0] < 190);
    }
}
