// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/whole_file.h"

#include <catch2/catch.hpp>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

using namespace portwright;
namespace fs = std::filesystem;

namespace {

/// A folder of its own, removed at the end.
struct Folder {
    fs::path path = fs::temp_directory_path() / ("portwright-write-" + std::to_string(::getpid()));
    Folder() { fs::create_directory(path); }
    ~Folder()
    {
        std::error_code ignored;
        fs::permissions(path, fs::perms::owner_all, ignored);
        fs::remove_all(path, ignored);
    }
    std::ptrdiff_t count() const { return std::distance(fs::directory_iterator(path), {}); }
};

std::string contents(const fs::path& path)
{
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// Files may grow no further than this while it lives: a short write, as on a full disk.
struct SizeLimit {
    rlimit before{};
    void (*handler)(int);
    explicit SizeLimit(rlim_t bytes)
    {
        handler = std::signal(SIGXFSZ, SIG_IGN);
        ::getrlimit(RLIMIT_FSIZE, &before);
        const rlimit now{bytes, before.rlim_max};
        REQUIRE(::setrlimit(RLIMIT_FSIZE, &now) == 0);
    }
    ~SizeLimit()
    {
        ::setrlimit(RLIMIT_FSIZE, &before);
        std::signal(SIGXFSZ, handler);
    }
};

}  // namespace

TEST_CASE("a file is written whole, and nothing is left beside it")
{
    Folder folder;
    const fs::path file = folder.path / "a.portwright";
    REQUIRE(writeWhole(file, "first"));
    CHECK(contents(file) == "first");
    REQUIRE(writeWhole(file, ""));
    CHECK(contents(file).empty());
    const std::string large(3 << 20, 'x');
    REQUIRE(writeWhole(file, large));
    CHECK(contents(file) == large);
    CHECK(folder.count() == 1);
}

TEST_CASE("mode and symbolic links are kept")
{
    Folder folder;
    const fs::path file = folder.path / "real", link = folder.path / "link", chain = folder.path / "chain";
    REQUIRE(writeWhole(file, "first"));
    fs::permissions(file, fs::perms(0640));
    fs::create_symlink("real", link);
    fs::create_symlink(link, chain);
    REQUIRE(writeWhole(chain, "second"));
    CHECK(contents(file) == "second");
    CHECK(fs::is_symlink(chain));
    CHECK(fs::is_symlink(link));
    CHECK(fs::status(file).permissions() == fs::perms(0640));

    fs::create_symlink("later", folder.path / "dangling");
    REQUIRE(writeWhole(folder.path / "dangling", "third"));
    CHECK(contents(folder.path / "later") == "third");
    fs::create_symlink("circle", folder.path / "circle");
    CHECK_FALSE(writeWhole(folder.path / "circle", "x"));
}

TEST_CASE("a write cut short leaves the old file whole and no temporary")
{
    Folder folder;
    const fs::path file = folder.path / "a.portwright";
    REQUIRE(writeWhole(file, "the old project"));
    const auto result = [&] {
        SizeLimit limit(1000);
        return writeWhole(file, std::string(5000, 'x'));
    }();
    REQUIRE(!result);
    CHECK(result.error().field == file.string());
    CHECK(result.error().message == "not all could be written, a size limit is reached; save elsewhere");
    CHECK(contents(file) == "the old project");
    CHECK(folder.count() == 1);
    REQUIRE(writeWhole(file, "and now it works"));
}

TEST_CASE("a full disk is told, the old file is whole")
{
    Folder folder;
    if (::mount("tmpfs", folder.path.c_str(), "tmpfs", 0, "size=96k") != 0) {
        WARN("no right to mount a small disk here: checked by the size limit alone");
        return;
    }
    const fs::path file = folder.path / "a.portwright";
    const bool first = writeWhole(file, "the old project").has_value();
    const auto result = writeWhole(file, std::string(200000, 'x'));
    const std::string after = contents(file);
    const auto count = folder.count();
    ::umount(folder.path.c_str());
    CHECK(first);
    REQUIRE(!result);
    CHECK(result.error().message == "the disk is full; free some space or save elsewhere");
    CHECK(after == "the old project");
    CHECK(count == 1);
}

TEST_CASE("a place that cannot be written to is told with cause and way out")
{
    Folder folder;
    const auto message = [](const fs::path& path) {
        const auto result = writeWhole(path, "x");
        REQUIRE(!result);
        CHECK(result.error().field == path.string());
        return result.error().message;
    };
    CHECK(message(folder.path / "none" / "a") == "the folder does not exist; make it or save elsewhere");
    CHECK(message(folder.path) == "this is a folder; choose a file name");
    CHECK(message("/dev/full") == "this is no ordinary file; choose another name");
    CHECK(message(folder.path / "") == "there is no file name in it; add one");
    CHECK(message(folder.path / std::string(300, 'n')) == "the name is too long; shorten it");
    REQUIRE(writeWhole(folder.path / "file", "x"));
    CHECK(message(folder.path / "file" / "a") == "a part of the path is a file, not a folder; save elsewhere");
    CHECK(folder.count() == 1);
}

TEST_CASE("a folder without the right to write is told")
{
    Folder folder;
    if (::geteuid() == 0) {  // root may write anywhere: be nobody for the while
        REQUIRE(::chmod(folder.path.c_str(), 0755) == 0);
        REQUIRE(::seteuid(65534) == 0);
    } else {
        fs::permissions(folder.path, fs::perms(0555));
    }
    const auto result = writeWhole(folder.path / "a", "x");
    if (::getuid() == 0) REQUIRE(::seteuid(0) == 0);
    REQUIRE(!result);
    CHECK(result.error().message == "writing is not permitted there; change the permissions or save elsewhere");
}
