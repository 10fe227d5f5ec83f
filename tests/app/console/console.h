// SPDX-License-Identifier: GPL-3.0-or-later
// One run of the console program on text streams.
#pragma once

#include "app/console/run.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <unistd.h>
#include <vector>

namespace portwright::console {

struct Ended {
    int code;
    std::string out, err;
};

inline Ended runWith(const std::vector<std::string>& arguments, const PaintChart& paint = nullptr)
{
    std::ostringstream out, err;
    const int code = run(arguments, out, err, paint);
    return {code, out.str(), err.str()};
}

/// What a command prints as JSON; it must end well.
inline nlohmann::json jsonOf(const std::vector<std::string>& arguments)
{
    const Ended ended = runWith(arguments);
    INFO(ended.err);
    REQUIRE(ended.code == 0);
    return nlohmann::json::parse(ended.out);
}

inline std::string sample(const std::string& name)
{
    return std::string(PORTWRIGHT_SOURCE_DIR) + "/sample-projects/" + name + ".portwright";
}

/// A file of its own in the temporary folder, removed at the end.
struct TemporaryFile {
    std::filesystem::path path;
    explicit TemporaryFile(const std::string& name, const std::string& contents = {})
        : path(std::filesystem::temp_directory_path() / ("portwright-" + std::to_string(::getpid()) + "-" + name))
    {
        if (!contents.empty()) std::ofstream(path, std::ios::binary) << contents;
    }
    ~TemporaryFile()
    {
        std::error_code ignored;
        std::filesystem::remove(path, ignored);
    }
};

/// A sound project with one thing in it, to be damaged.
inline const std::string soundProject = R"({"format":"portwright-project","version":1,
 "drivers":[{"id":"a","fs_hz":72,"qes":0.62,"qms":5.1,"vas_l":9.8,"re_ohm":3.3,"sd_cm2":132}],
 "housings":[{"id":"one, \"two\"","driver":"a","cavity":{"net_volume_l":5.2}}]})";

inline std::string replaced(std::string text, const std::string& from, const std::string& to)
{
    return text.replace(text.find(from), from.size(), to);
}

inline std::ptrdiff_t lines(const std::string& text) { return std::count(text.begin(), text.end(), '\n'); }

}  // namespace portwright::console
