// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/search/search_wishes.h"

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

PortStock stockOf(const SearchWishes& wishes)
{
    PortStock stock;
    switch (wishes.list) {
    case SearchWishes::List::metric:
        stock = metricPortStock();
        break;
    case SearchWishes::List::inch:
        stock = inchPortStock();
        break;
    case SearchWishes::List::both: {
        stock = metricPortStock();
        const PortStock inch = inchPortStock();
        stock.tubes.insert(stock.tubes.end(), inch.tubes.begin(), inch.tubes.end());
        stock.slotShapes.insert(stock.slotShapes.end(), inch.slotShapes.begin(), inch.slotShapes.end());
        stock.flares.insert(stock.flares.end(), inch.flares.begin(), inch.flares.end());
        break;
    }
    case SearchWishes::List::own:
        stock = wishes.own;
        break;
    }
    if (wishes.shapes == SearchWishes::Shapes::tubes) stock.slotShapes.clear();
    if (wishes.shapes == SearchWishes::Shapes::panels) stock.tubes.clear();
    if (!wishes.flares) stock.flares.clear();
    return stock;
}

std::vector<int> sharedWallsOf(SearchWishes::SharedWalls walls)
{
    if (walls == SearchWishes::SharedWalls::any) return {0, 1, 2, 3};
    return {walls == SearchWishes::SharedWalls::none ? 0 : int(walls) - int(SearchWishes::SharedWalls::any)};
}

}  // namespace

SearchRequest requestOf(const SearchWishes& wishes, const Model& model, int opening)
{
    SearchRequest request;
    request.stock = stockOf(wishes);
    PortSpace& space = request.space = spaceOf(model, opening);
    space.mostBends = wishes.mostBends.value_or(space.mostBends);
    space.clearance = wishes.clearance.value_or(space.clearance);
    space.outside = wishes.outside.value_or(space.outside);
    request.sharedWalls = sharedWallsOf(wishes.sharedWalls);
    if (wishes.mostTubes) request.mostTubes = int(std::lround(*wishes.mostTubes));
    request.tuningFrom = wishes.tuningFrom.value_or(0);
    request.tuningTo = wishes.tuningTo.value_or(0);
    request.band.from = wishes.bandFrom.value_or(request.band.from);
    request.band.to = wishes.bandTo.value_or(request.band.to);
    std::vector<Aim> aims{wishes.aim};
    for (const Aim aim : request.aims)
        if (aim != wishes.aim) aims.push_back(aim);
    request.aims = std::move(aims);
    request.portAir = wishes.portAir;
    request.airByFlares = wishes.airByFlares;
    request.leastLevel = wishes.leastLevel;
    request.highestF3 = wishes.highestF3;
    request.cleanAtFeed = wishes.cleanAtFeed;
    return request;
}

int openingToReplace(const Housing& housing)
{
    const auto found = std::find_if(housing.openings.begin(), housing.openings.end(), [](const Opening& o) {
        return std::holds_alternative<PortOpening>(o.kind) && o.cavity.value_or(CavityId::main) == CavityId::main;
    });
    return found == housing.openings.end() ? -1 : int(found - housing.openings.begin());
}

}  // namespace portwright
