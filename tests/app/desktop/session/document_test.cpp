// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/app/desktop/bench.h"

#include <catch2/catch.hpp>

using namespace portwright;

namespace {
void volume(Project& p, double si) { p.housings.at(0).cavity.netVolume = si; }
}  // namespace

TEST_CASE("one edit is one named undo step, and undo gives the former project back")
{
    Document document;
    document.replace(sample(), false);
    const Project before = document.project();
    document.edit("Change Net volume", "v", [](Project& p) { volume(p, 2.5e-3); });
    CHECK(document.history().count() == 1);
    CHECK(document.history().undoText() == "Change Net volume");
    CHECK(document.project().housings.at(0).cavity.netVolume == 2.5e-3);
    document.history().undo();
    CHECK(document.project() == before);
}

TEST_CASE("edits of one row merge until the edit is closed, and vanish when they end where they began")
{
    Document document;
    document.replace(sample(), false);
    const double start = document.project().housings.at(0).cavity.netVolume;
    for (double v : {2e-3, 3e-3, 4e-3})
        document.edit("v", "v", [v](Project& p) { volume(p, v); });
    CHECK(document.history().count() == 1);
    document.closeEdit();
    document.edit("v", "v", [](Project& p) { volume(p, 5e-3); });
    CHECK(document.history().count() == 2);
    document.closeEdit();
    document.edit("v", "v", [](Project& p) { volume(p, 6e-3); });
    document.edit("v", "v", [](Project& p) { volume(p, 5e-3); });
    CHECK(document.history().count() == 2);
    document.history().undo();
    document.history().undo();
    CHECK(document.project().housings.at(0).cavity.netVolume == start);
}

TEST_CASE("a change that changes nothing makes no step")
{
    Document document;
    document.replace(sample(), false);
    document.edit("nothing", [](Project&) {});
    CHECK(document.history().count() == 0);
    CHECK_FALSE(document.unsaved());
}

TEST_CASE("undo back to the saved state clears the mark, and saving keeps the history")
{
    Document document;
    document.replace(sample(), false);
    document.edit("a", [](Project& p) { volume(p, 2e-3); });
    document.markSaved();
    CHECK_FALSE(document.unsaved());
    document.edit("b", [](Project& p) { volume(p, 3e-3); });
    CHECK(document.unsaved());
    document.history().undo();
    CHECK_FALSE(document.unsaved());
    CHECK(document.history().canUndo());
    document.history().undo();
    CHECK(document.unsaved());
}

TEST_CASE("merging never crosses a save")
{
    Document document;
    document.replace(sample(), false);
    document.edit("v", "v", [](Project& p) { volume(p, 2e-3); });
    document.markSaved();
    document.edit("v", "v", [](Project& p) { volume(p, 3e-3); });
    CHECK(document.history().count() == 2);
    document.history().undo();
    CHECK_FALSE(document.unsaved());
}

TEST_CASE("a preview shows, but commits and marks nothing")
{
    Document document;
    document.replace(sample(), false);
    const Project before = document.project();
    document.preview([](Project& p) { volume(p, 9e-3); });
    CHECK(document.shown().housings.at(0).cavity.netVolume == 9e-3);
    CHECK(document.project() == before);
    CHECK(document.history().count() == 0);
    document.endPreview();
    CHECK(document.shown() == before);
}

TEST_CASE("what an edit leaves is what saving and loading gives back")
{
    Document document;
    document.replace(sample(), false);
    document.edit("v", [](Project& p) { volume(p, 0.0016 / 3); });
    const auto again = parseProject(projectText(document.project()));
    REQUIRE(again);
    CHECK(again->project == document.project());
}
