// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/mesh/mesh_file.h"

#include "core/mesh/mesh_formats.h"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <memory>
#include <string>
#include <system_error>

namespace portwright {
namespace {

bool startsWithWord(std::string_view bytes, std::string_view word)
{
    const std::size_t from = std::min(bytes.find_first_not_of(" \t\r\n"), bytes.size());
    const std::string_view start = bytes.substr(from, word.size());
    return std::equal(start.begin(), start.end(), word.begin(), word.end(),
                      [](char a, char b) { return (a >= 'A' && a <= 'Z' ? a - 'A' + 'a' : a) == b; });
}

/// In its first part nothing but what an editor shows.
bool isText(std::string_view bytes)
{
    bytes = bytes.substr(0, 1000);
    return std::none_of(bytes.begin(), bytes.end(), [](char c) {
        return static_cast<unsigned char>(c) < 32 && c != '\t' && c != '\r' && c != '\n';
    });
}

}  // namespace

Result<Mesh> meshFromBytes(std::string_view bytes, std::string_view ending, const Watch& watch)
{
    if (bytes.empty()) return fail("", "the file is empty, so there is no mesh in it");
    std::string kind(ending);
    for (char& c : kind)
        c = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    if (isBinaryStl(bytes)) return meshFromBinaryStl(bytes, watch);
    if (startsWithWord(bytes, "solid") && isText(bytes)) return meshFromTextStl(bytes, watch);
    if (startsWithWord(bytes, "ply")) return meshFromPly(bytes, watch);
    if (kind == ".obj" && isText(bytes)) return meshFromObj(bytes, watch);
    if (kind == ".stl" && !isText(bytes)) return meshFromBinaryStl(bytes, watch);  // says what does not fit
    return fail("", fmt::format("this is {} that is neither STL (text begins with \"solid\"), nor PLY (begins with "
                                "\"ply\"), nor OBJ (its name ends in .obj)",
                                isText(bytes) ? "a text" : "a file"));
}

Result<Mesh> readMeshFile(const std::filesystem::path& path, const Watch& watch)
{
    std::error_code trouble;
    const auto status = std::filesystem::status(path, trouble);
    const auto refused = [&path](std::string message) { return fail(path.string(), std::move(message)); };
    if (!std::filesystem::exists(status)) return refused("there is no such file, or it may not be looked at");
    if (std::filesystem::is_directory(status)) return refused("this is a folder; choose a mesh file in it");
    if (!std::filesystem::is_regular_file(status)) return refused("this is no ordinary file");
    const std::uintmax_t size = std::filesystem::file_size(path, trouble);
    if (trouble) return refused("its size cannot be told");
    if (size > largestMeshFile)
        return refused(fmt::format("the file has {} MB; at most {} MB are read, so reduce the mesh first",
                                   size / 1'000'000, largestMeshFile / 1'000'000));
    std::ifstream in(path, std::ios::binary);
    if (!in) return refused("the file cannot be opened; it may belong to somebody else");
    const auto bytes = std::make_unique_for_overwrite<char[]>(size);  // zeros first would cost a quarter of the reading
    constexpr std::size_t portion = 4'000'000;
    for (std::size_t at = 0; at < size; at += portion) {
        if (isCancelled(watch)) return cancelledWork();
        report(watch, 0.1 * static_cast<double>(at) / static_cast<double>(size), "reading the file");
        const std::size_t count = std::min<std::size_t>(portion, size - at);
        if (!in.read(bytes.get() + at, static_cast<std::streamsize>(count)))
            return refused("the file cannot be read to its end; the disk or the network may be at fault");
    }
    Watch parsing = watch;
    if (watch.progress)
        parsing.progress = [&watch](double f, std::string_view step) { watch.progress(0.1 + 0.9 * f, step); };
    auto mesh = meshFromBytes({bytes.get(), size}, path.extension().string(), parsing);
    if (!mesh && mesh.error().field != "cancelled") {
        const Error& error = mesh.error();
        return refused(error.field.empty() ? error.message : error.field + ": " + error.message);
    }
    return mesh;
}

}  // namespace portwright
