// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/sections_csv.h"

#include "core/document/csv_table.h"

#include "tests/core/support/random_project.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

double decimal(double low, double high) { return std::round(logUniform(low, high) * 1e5) / 1e5; }  // as typed

Section arbitrarySection(double at)
{
    Section s;
    s.at = at;
    s.shape = static_cast<SectionShape>(*rc::gen::inRange(0, 7));
    if (s.shape == SectionShape::outline) {
        s.points = {{0, 0}, {decimal(0.05, 0.2), 0}, {decimal(0.05, 0.2), decimal(0.05, 0.2)}, {0, 0.1}};
    } else if (s.shape == SectionShape::area) {
        s.area = decimal(0.001, 0.05);
    } else {
        s.width = decimal(0.05, 0.3);
        s.height = decimal(0.05, 0.3);
        if (s.shape == SectionShape::rounded) s.corner = decimal(0.001, 0.02);
    }
    return s;
}

}  // namespace

TEST_CASE("a table of sections is read into SI")
{
    const auto sections = parseSectionsCsv("\xEF\xBB\xBF# left lower, from the front\r\n"
                                           "at_mm,shape,width_mm,height_mm,corner_mm,area_cm2,points_mm\r\n"
                                           "0,rounded, 180 ,140,25,,\r\n\r\n"
                                           "60,\"ellipse\",190,150,,,\r\n"
                                           "# measured twice\r\n"
                                           "130.5,area,0,,0.0,210.5,\r\n"
                                           "200,outline,,,,,\"0 0; 120 0;60 80\"");
    INFO((sections ? "" : sections.error().field + ": " + sections.error().message));
    REQUIRE(sections);
    REQUIRE(sections->size() == 4);
    CHECK((*sections)[0].shape == SectionShape::rounded);
    CHECK((*sections)[0].width == 0.18);
    CHECK((*sections)[0].corner == 0.025);
    CHECK((*sections)[1].at == 0.06);
    CHECK((*sections)[2].at == 0.1305);
    CHECK((*sections)[2].area == Approx(0.02105));
    CHECK((*sections)[3].points == std::vector<Point2>{{0, 0}, {0.12, 0}, {0.06, 0.08}});
}

TEST_CASE("columns may stand in any order, and those no shape needs may be missing")
{
    const auto sections = parseSectionsCsv("shape,height_mm,width_mm,at_mm\nrectangle,2,3,1\ntriangle,2,3,4\n");
    REQUIRE(sections);
    CHECK((*sections)[0].width == 0.003);
    CHECK((*sections)[1].at == 0.004);
}

TEST_CASE("what is written reads back to the same sections")
{
    rc::prop("tables of every shape", [] {
        std::vector<Section> sections;
        double at = -0.1;
        for (int n = *rc::gen::inRange(2, 8); n > 0; --n)
            sections.push_back(arbitrarySection(at = std::round((at + logUniform(0.001, 0.1)) * 1e6) / 1e6 + 1e-6));
        for (Section& s : sections)
            s.at = std::round(s.at * 1e6) / 1e6;  // a typed position
        const std::string text = sectionsCsv(sections);
        const auto back = parseSectionsCsv(text);
        if (!back) RC_FAIL(back.error().field + ": " + back.error().message + "\n" + text);
        RC_ASSERT(back->size() == sections.size());
        for (std::size_t i = 0; i < sections.size(); ++i) {
            RC_ASSERT(std::abs((*back)[i].at - sections[i].at) < 1e-15);  // the nearest that a decimal in mm can hold
            RC_ASSERT(std::abs((*back)[i].width - sections[i].width) < 1e-15);
            RC_ASSERT((*back)[i].shape == sections[i].shape);
        }
        RC_ASSERT(sectionsCsv(*back) == text);
        RC_ASSERT(*parseSectionsCsv(sectionsCsv(*back)) == *back);
    });
}

TEST_CASE("each fault of a table is told in one sentence with its line")
{
    const std::string head = "at_mm,shape,width_mm,height_mm,corner_mm,area_cm2,points_mm\n";
    const std::string good = "0,rectangle,100,80,,,\n";
    struct Case {
        std::string text, field, message;
    };
    const Case cases[] = {
        {"", "line 1",
         "there is nothing in it; the first line names the columns at_mm, shape, width_mm, height_mm, corner_mm, "
         "area_cm2 and points_mm"},
        {"# only a remark\n", "line 1",
         "there is nothing in it; the first line names the columns at_mm, shape, width_mm, height_mm, corner_mm, "
         "area_cm2 and points_mm"},
        {"solid wall\n", "line 1",
         "\"solid wall\" is no column of this table; the first line names at_mm, shape, width_mm, height_mm, "
         "corner_mm, "
         "area_cm2 and points_mm"},
        {"at_mm;shape;width_mm\n0;d;10\n", "line 1",
         "the columns are separated by semicolons; commas are expected, and point decimals"},
        {"at_mm,width_mm\n", "line 1", "the column shape is missing; the first line names the columns"},
        {"at_mm,shape,at_mm\n", "line 1", "the column at_mm stands twice; each may stand once"},
        {head, "line 1", "the table ends after 0 of the at least 2 sections that make a volume"},
        {head + good, "line 2", "the table ends after 1 of the at least 2 sections that make a volume"},
        {head + good + "10,rectangle,100\n", "line 3", "there are 3 cells; the first line names 7 columns"},
        {head + good + "\n10,rectangle,1,2,,,,\n", "line 4", "there are 8 cells; the first line names 7 columns"},
        {head + good + "10,square,100,80,,,\n", "line 3",
         "shape is \"square\"; allowed is rectangle, rounded, ellipse, d, triangle, outline or area"},
        {head + good + "10,rectangle,wide,80,,,\n", "line 3",
         "width_mm is \"wide\", no number; allowed is 0 to 5000 mm"},
        {head + good + "10,rectangle,100 mm,80,,,\n", "line 3",
         "width_mm is \"100 mm\", no number; allowed is 0 to 5000 mm"},
        {head + good + "10,rectangle,nan,80,,,\n", "line 3", "width_mm is \"nan\", no number; allowed is 0 to 5000 mm"},
        {head + good + "10,rectangle,1e999,80,,,\n", "line 3",
         "width_mm is \"1e999\", no number; allowed is 0 to 5000 mm"},
        {head + good + "10,rectangle,-5,80,,,\n", "line 3", "width_mm is \"-5\"; allowed is 0 to 5000 mm"},
        {head + good + "10,rectangle,,80,,,\n", "line 3", "width_mm is missing; allowed is 0 to 5000 mm"},
        {head + good + "10,rectangle,100,80,5,,\n", "line 3",
         "corner_mm is \"5\", but the shape rectangle has no use for it; leave it empty"},
        {head + good + "10,rectangle,100,80,,,0 0;1 1\n", "line 3",
         "points_mm is filled, but the shape rectangle has no use for it; leave it empty"},
        {head + good + "10,rounded,100,80,50,,\n", "line 3",
         "the corner radius is 50 mm; allowed is 0 to half the shorter side, 40 mm"},
        {head + good + "10,outline,,,,,0 0;10 0;5\n", "line 3",
         "point 3 of the outline has 1 numbers; two with a blank between them are expected, and a semicolon between "
         "points"},
        {head + good + "10,outline,,,,,0 0;10 0;5 x\n", "line 3",
         "points_mm is \"x\", no number; allowed is -10000 to 10000 mm"},
        {head + good + "10,outline,,,,,0 0;10 10;10 0;0 10\n", "line 3",
         "the outline crosses itself: the side after point 1 meets the side after point 3; trace it once around"},
        {head + good + "10,outline,,,,,\n", "line 3", "the outline has 0 different points; it takes at least 3"},
        {head + good + "0,rectangle,100,80,,,\n", "line 3",
         "at_mm is 0, not beyond the section before; positions must rise"},
        {head + good + "10,\"rectangle,100,80,,,\n", "line 3",
         "a double quote is opened and not closed; close it or leave it out"},
        {head + good + "10,\"rectangle\"s,100,80,,,\n", "line 3",
         "something follows a cell in double quotes; a comma is expected there"},
        {head + std::string(csvSizeLimit, ' '), "", "the table has 4194364 bytes; at most 4194304 are read"},
    };
    for (const Case& c : cases) {
        const auto sections = parseSectionsCsv(c.text);
        INFO(c.text.substr(0, 200));
        REQUIRE(!sections);
        CHECK(sections.error().field == c.field);
        CHECK(sections.error().message == c.message);
    }
}

TEST_CASE("a table longer than is read is refused at the first line too many")
{
    std::string text = "at_mm,shape,width_mm,height_mm\n";
    for (int i = 0; i < 201; ++i)
        text += std::to_string(i) + ",rectangle,10,10\n";
    const auto sections = parseSectionsCsv(text);
    REQUIRE(!sections);
    CHECK(sections.error() == Error{"line 202", "this is section 201; at most 200 are read"});
}
