// SPDX-License-Identifier: GPL-3.0-or-later
// A housing and a stock small enough for every port to be tried.
#pragma once

#include "core/search/search.h"
#include "tests/core/support/random_project.h"

namespace portwright::test {

inline Model housed(double litres, double voltage = 10, double depth = 0.25)
{
    Housing housing = closedHousing(litres * 1e-3);
    if (depth > 0) housing.cavity.depth = depth;
    housing.openings = {{LeakByQ{7}, {}, {}}};
    Model m = modelOfReference(housing, voltage);
    m.driver.Xmax = 4e-3;
    m.driver.power = 80;
    return m;
}

inline PortStock smallStock()
{
    PortStock stock;
    stock.tubes = {{"38 mm tube", 0.038, 2e-3, 1, 0.045},
                   {"50 mm tube", 0.050, 2e-3, 1, 0.055},
                   {"76 mm tube", 0.076, 2e-3, 1, 0.08}};
    stock.slotShapes = {{"slot 120 x 18 mm", 0.12, 0.018, 6e-3, 1.2}};
    stock.flares = {{"10 mm round-over", 0.010, 0}};
    return stock;
}

inline SearchRequest smallRequest(const Model& m)
{
    SearchRequest r;
    r.stock = smallStock();
    r.space = spaceOf(m, -1);
    r.tuningFrom = 45, r.tuningTo = 100;
    r.lengthStep = 5e-3;
    return r;
}

/// Every candidate of every family.
inline std::vector<SearchCandidate> everything(const Model& m, SearchRequest r,
                                               std::vector<RejectedPorts>* rejected = nullptr)
{
    if (!r.portAir) r.portAir = m.portAirLimit;  // as the whole search has it
    const FastModel fast = fastModelOf(m, r.band).value();
    const auto families = familiesOf(r);
    std::vector<SearchCandidate> all;
    for (std::uint32_t i = 0; i < families.size(); ++i) {
        const auto some = candidatesOf(fast, r, m.air, families, i, rejected);
        all.insert(all.end(), some.begin(), some.end());
    }
    return all;
}

}  // namespace portwright::test
