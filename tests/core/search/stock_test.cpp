// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/stock.h"

#include "../support/random_project.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

TEST_CASE("the stock that comes along is written and read back to the same")
{
    for (const PortStock& stock : {metricPortStock(), inchPortStock()}) {
        const auto back = readPortStock(portStockCsv(stock));
        REQUIRE(back);
        REQUIRE(back->tubes.size() == stock.tubes.size());
        REQUIRE(back->slotShapes.size() == stock.slotShapes.size());
        for (std::size_t i = 0; i < stock.tubes.size(); ++i) {
            CHECK(back->tubes[i].name == stock.tubes[i].name);
            CHECK(back->tubes[i].bore == Approx(stock.tubes[i].bore).epsilon(1e-14));
            CHECK(back->tubes[i].wall == Approx(stock.tubes[i].wall).epsilon(1e-14));
            CHECK(back->tubes[i].bendRadius == Approx(stock.tubes[i].bendRadius).epsilon(1e-14));
        }
        CHECK(readPortStock(portStockCsv(*back)) == *back);  // from then on to the bit
    }
}

TEST_CASE("a table of stock is read by its columns, in any order, what is not needed left out")
{
    const auto stock = readPortStock("name,kind,diameter_mm,wall_mm,radius_mm\n"
                                     "# what stands in the rack\n"
                                     "\"offcut, grey\",tube,54,2.5,\n"
                                     "bell,flare,54,,12\n");
    REQUIRE(stock);
    REQUIRE(stock->tubes.size() == 1);
    CHECK(stock->tubes[0].name == "offcut, grey");
    CHECK(stock->tubes[0].bore == 0.054);
    CHECK(stock->tubes[0].wall == 0.0025);
    CHECK(stock->tubes[0].bendRadius == 0);
    REQUIRE(stock->flares.size() == 1);
    CHECK(stock->flares[0].radius == 0.012);
    CHECK(stock->flares[0].forBore == 0.054);
}

TEST_CASE("what is wrong in a table of stock is told with its line")
{
    const auto wrong = [](const std::string& text, const std::string& line, const std::string& words) {
        const auto stock = readPortStock(text);
        REQUIRE_FALSE(stock);
        CHECK(stock.error().field == line);
        CHECK(stock.error().message.find(words) != std::string::npos);
    };
    wrong("", "line 1", "kind");
    wrong("kind,name,diameter_mm\nhose,a,50\n", "line 2", "tube, slot and flare");
    wrong("kind,name,diameter_mm\ntube,a,\n", "line 2", "diameter_mm");
    wrong("kind,name,diameter_mm\ntube,a,-5\n", "line 2", "allowed is 3 to 500");
    wrong("kind,name,diameter_mm\ntube,a,nan\n", "line 2", "allowed is 3 to 500");
    wrong("kind,name,radius_mm\nflare,a,10\n", "line 2", "neither a tube nor a slot");
    wrong("kind,name,width_mm\nslot,a,100\n", "line 2", "height_mm");
}

TEST_CASE("no text, however broken, does more than give a sentence")
{
    rc::prop("any text", [](const std::string& text) {
        const auto stock =
            readPortStock("kind,name,diameter_mm,wall_mm,width_mm,height_mm,length_mm,radius_mm\n" + text);
        RC_ASSERT(stock.has_value() || !stock.error().message.empty());
    });
}

TEST_CASE("every size of the stock is one that the project file takes")
{
    for (const PortStock& stock : {metricPortStock(), inchPortStock()}) {
        for (const StockTube& t : stock.tubes) {
            CHECK((t.bore >= 0.003 && t.bore <= 0.5));
            CHECK((t.wall > 0 && t.wall < t.bore / 4));
            CHECK(t.bendRadius > (t.bore / 2 + t.wall));  // a bend whose inside would cross itself cannot be made
        }
        for (const StockSlot& s : stock.slotShapes)
            CHECK((s.height >= 0.001 && s.height < s.width));
    }
}
