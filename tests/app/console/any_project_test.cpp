// SPDX-License-Identifier: GPL-3.0-or-later
// Any project the file can hold is solved into finite numbers or refused in one line: no input crashes, hangs or prints
// NaN.
#include "core/document/project_file.h"
#include "tests/app/console/console.h"
#include "tests/core/document/arbitrary_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>
#include <regex>

using namespace portwright;
using namespace portwright::console;

namespace {

void check(const Ended& ended)
{
    RC_ASSERT(ended.code == 0 || ended.code == 1);
    static const std::regex noNumber("\\b(nan|NaN|inf|Inf)\\b");  // "Resonance" is no such word
    RC_ASSERT(!std::regex_search(ended.out, noNumber));
    if (ended.code == 0) return;
    RC_ASSERT(ended.out.empty());
    const auto last = ended.err.find_last_of('\n', ended.err.size() - 2);
    RC_ASSERT(ended.err.substr(last == std::string::npos ? 0 : last + 1).find("warning:") == std::string::npos);
}

}  // namespace

TEST_CASE("any project the file can hold ends in figures or in one line")
{
    rc::prop("solve and compare", [] {
        Project project = arbitraryProject(*rc::gen::arbitrary<unsigned>());
        DriverSheet& driver = project.drivers.front();  // what a driver cannot do without
        driver.Re = driver.Re.value_or(3.3);
        driver.Sd = driver.Sd.value_or(0.0132);
        driver.fs = driver.fs.value_or(72);
        driver.Qes = driver.Qes.value_or(0.62);
        driver.Qms = driver.Qms.value_or(5.1);
        driver.Vas = driver.Vas.value_or(0.0098);
        const TemporaryFile file("any.portwright", projectText(project));
        check(runWith({"solve", file.path.string(), "--points", "30"}));
        check(runWith({"solve", file.path.string(), "--points", "30", "--format", "csv"}));
        check(runWith({"compare", file.path.string()}));
    });
}
