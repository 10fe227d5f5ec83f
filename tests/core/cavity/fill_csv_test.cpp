// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/fill_csv.h"

#include "tests/core/support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

TEST_CASE("readings are read in the units of scale and jug")
{
    const auto fill =
        parseFillCsv("medium,reading,unit\nwater-weight,4991,g\nwater-weight,5.003,kg\nwater-weight,11,lb\n");
    REQUIRE(fill);
    CHECK(fill->medium == FillMedium::waterByWeight);
    REQUIRE(fill->masses.size() == 3);
    CHECK(fill->masses[0] == 4.991);
    CHECK(fill->masses[1] == 5.003);
    CHECK(fill->masses[2] == Approx(4.98951607));  // the pound is 0.45359237 kg by definition
    CHECK(fill->volumes.empty());

    const auto rice = parseFillCsv("unit,medium,reading\nL,dry,4.9\nml,dry,5010\n");
    REQUIRE(rice);
    CHECK(rice->medium == FillMedium::dry);
    CHECK(rice->volumes == std::vector<double>{4.9 / 1000, 5010 / 1e6});
}

TEST_CASE("beside the readings a table takes what the project file takes")
{
    const auto weighed = parseFillCsv("medium,reading,unit,temperature_c,scale_step_g,residue_ml\n"
                                      "water-weight,6210,g,18,5,20\nwater-weight,6.235,kg,,,\n"
                                      "water-weight,6225,g,18.0,,\n");
    REQUIRE(weighed);
    CHECK(weighed->masses.size() == 3);
    CHECK(weighed->temperature == 18.0);
    CHECK(weighed->massResolution == 5.0 / 1000);
    CHECK(weighed->residue == 20 / 1e6);
    CHECK(!weighed->packingDifference);
    const auto rice = parseFillCsv("medium,reading,unit,vessel_step_ml,packing_pct\ndry,4.9,L,10,2\n");
    REQUIRE(rice);
    CHECK(rice->volumeResolution == 10 / 1e6);
    CHECK(rice->packingDifference == 2.0 / 100);
    CHECK(!rice->residue);
}

TEST_CASE("what is written reads back to the same readings")
{
    rc::prop("any medium", [] {
        FillMeasurement fill;
        fill.medium = static_cast<FillMedium>(*rc::gen::inRange(0, 3));
        auto& values = fill.medium == FillMedium::waterByWeight ? fill.masses : fill.volumes;
        for (int n = *rc::gen::inRange(1, 6); n > 0; --n)
            values.push_back(static_cast<double>(*rc::gen::inRange(1, 100000)) / 1000 / 1000);  // typed decimals
        const auto some = [](double scale) {  // typed decimals, or nothing
            return *rc::gen::inRange(0, 2) ? std::optional(static_cast<double>(*rc::gen::inRange(0, 40)) / scale)
                                           : std::nullopt;
        };
        fill.residue = some(1e6);
        if (fill.medium == FillMedium::waterByWeight) {
            fill.temperature = some(1);
            fill.massResolution = some(1000);
        } else {
            fill.volumeResolution = some(1e6);
        }
        if (fill.medium == FillMedium::dry) fill.packingDifference = some(100);
        const auto back = parseFillCsv(fillCsv(fill));
        if (!back) RC_FAIL(back.error().field + ": " + back.error().message);
        RC_ASSERT(fillCsv(*back) == fillCsv(fill));
        RC_ASSERT(*parseFillCsv(fillCsv(*back)) == *back);
        RC_ASSERT(back->medium == fill.medium);
        RC_ASSERT(back->temperature == fill.temperature && back->massResolution == fill.massResolution);
        RC_ASSERT(back->volumeResolution == fill.volumeResolution && back->residue == fill.residue);
        RC_ASSERT(back->packingDifference == fill.packingDifference);
    });
}

TEST_CASE("each fault of a list of readings is told in one sentence with its line")
{
    const std::string head = "medium,reading,unit\n";
    struct Case {
        std::string text, field, message;
    };
    const Case cases[] = {
        {"", "line 1",
         "there is nothing in it; the first line names the columns medium, reading, unit, temperature_c, scale_step_g, "
         "vessel_step_ml, residue_ml and packing_pct"},
        {"medium,reading\n", "line 1", "the column unit is missing; the first line names the columns"},
        {head, "line 1", "there is no reading below the names of the columns; at least one is needed"},
        {head + "sand,1,L\n", "line 2", "medium is \"sand\"; allowed is water-weight, water-volume or dry"},
        {head + "dry,1,L\nwater-volume,1,L\n", "line 3",
         "medium is water-volume, above it is dry; one table holds one medium"},
        {head + "dry,1,g\n", "line 2",
         "unit is \"g\"; allowed for this medium is one of L, ml, cm\u00B3, m\u00B3, ft\u00B3, in\u00B3"},
        {head + "water-weight,1,L\n", "line 2", "unit is \"L\"; allowed for this medium is one of g, mg, kg, oz, lb"},
        {head + "dry,much,L\n", "line 2",
         "reading is \"much\", no number; a number with a point for its decimals is expected"},
        {head + "dry,\"4,9\",L\n", "line 2",
         "reading is \"4,9\", no number; a number with a point for its decimals is expected"},
        {head + "dry,,L\n", "line 2", "reading is \"\", no number; a number with a point for its decimals is expected"},
        {head + "dry,0,L\n", "line 2", "reading is 0 L; allowed is above 0 to 2000 L"},
        {head + "dry,2001,L\n", "line 2", "reading is 2001 L; allowed is above 0 to 2000 L"},
        {head + "dry,4.9\n", "line 2", "there are 2 cells; the first line names 3 columns"},
        {"medium,reading,unit,temperature_c\ndry,5,L,20\n", "line 2",
         "temperature_c is \"20\", but dry has no use for it; leave it empty"},
        {"medium,reading,unit,temperature_c\nwater-weight,5,kg,20\nwater-weight,5,kg,25\n", "line 3",
         "temperature_c is 25, above it is 20; one table holds one"},
        {"medium,reading,unit,temperature_c\nwater-weight,5,kg,70\n", "line 2",
         "temperature_c is \"70\"; allowed is 0 to 40 \u00B0C"},
    };
    for (const Case& c : cases) {
        const auto fill = parseFillCsv(c.text);
        INFO(c.text);
        REQUIRE(!fill);
        CHECK(fill.error().field == c.field);
        CHECK(fill.error().message == c.message);
    }
    std::string many = head;
    for (int i = 0; i < 101; ++i)
        many += "dry,5,L\n";
    CHECK(parseFillCsv(many).error() == Error{"line 102", "this is reading 101; at most 100 are read"});
}
