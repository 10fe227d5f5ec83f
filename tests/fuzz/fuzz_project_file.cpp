// SPDX-License-Identifier: GPL-3.0-or-later
// Any bytes: refused in one line, or a project that is the same after saving and loading.
#include "core/document/project_file.h"

#include <cstdint>
#include <cstdio>
#include <cstdlib>

namespace {

void demand(bool fact, const char* name)
{
    if (fact) return;
    std::fprintf(stderr, "does not hold: %s\n", name);
    std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size)
{
    using namespace portwright;
    const auto loaded = parseProject({reinterpret_cast<const char*>(bytes), size});
    if (!loaded) {
        demand(!loaded.error().message.empty() && loaded.error().message.find('\n') == std::string::npos,
               "a refusal is one line");
        return 0;
    }
    const std::string text = projectText(loaded->project);
    const auto again = parseProject(text);
    demand(again.has_value(), "what is written is read");
    demand(again->project == loaded->project, "save and load is identity");
    demand(projectText(again->project) == text, "the second save has the same bytes");
    demand(normalised(loaded->project) == loaded->project, "what was read is held exactly");
    return 0;
}
