// SPDX-License-Identifier: GPL-3.0-or-later
// Any bytes as a table of sections and as a list of readings: refused in one line, or the same after writing and
// reading, with a finite volume or one more sentence.
#include "core/cavity/fill.h"
#include "core/cavity/fill_csv.h"
#include "core/cavity/sections.h"
#include "core/cavity/sections_csv.h"

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

namespace {

using namespace portwright;

void demand(bool fact, const char* name)
{
    if (fact) return;
    std::fprintf(stderr, "does not hold: %s\n", name);
    std::abort();
}

void demandOneLine(const Error& error)
{
    demand(!error.message.empty() && (error.field + error.message).find('\n') == std::string::npos,
           "a refusal is one line");
}

void demandSound(const Result<VolumeReading>& reading)
{
    if (!reading) return demandOneLine(reading.error());
    demand(std::isfinite(reading->volume) && reading->volume > 0, "a volume is finite and above 0");
    demand(std::isfinite(reading->uncertainty) && reading->uncertainty > 0, "so is its uncertainty");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(bytes), size);
    if (const auto sections = parseSectionsCsv(text); !sections) {
        demandOneLine(sections.error());
    } else {
        const auto again = parseSectionsCsv(sectionsCsv(*sections));
        demand(again && *again == *sections, "sections are read as they were written");
        SectionsMeasurement m;
        m.sections = *sections;
        demandSound(readingOf(m));
        if (const auto worked = sectionsVolume(m)) demand(isUsable(worked->profile), "a shape keeps its rules");
    }
    if (const auto fill = parseFillCsv(text); !fill) {
        demandOneLine(fill.error());
    } else {
        const auto again = parseFillCsv(fillCsv(*fill));
        demand(again && fillCsv(*again) == fillCsv(*fill), "readings are read as they were written");
        demandSound(readingOf(*fill));
    }
    return 0;
}
