// SPDX-License-Identifier: GPL-3.0-or-later
// Writes one search as JSON for search_scipy.py: the housing by its own values, the ports as lines at the lengths that
// were placed, every candidate with the scores that the search has for it, and how many of them a second it reckoned.
#include "core/port/separation.h"
#include "core/search/port_lengths.h"
#include "core/search/search.h"

#include "../core/support/random_project.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fmt/format.h>
#include <iterator>

using namespace portwright;
using namespace portwright::test;

namespace {

constexpr double leakQ = 7, liningQ = 60, driverAt = 0.08, feed = 14.1, corner = 45, Le = 0.3e-3;
constexpr int highPassOrder = 4;

Model housed()
{
    Housing housing = closedHousing(9e-3);
    housing.cavity.width = 0.2, housing.cavity.breadth = 0.18, housing.cavity.depth = 0.25;
    housing.cavity.absorptionQ = liningQ, housing.cavity.driverAt = driverAt, housing.cavity.fillFactor = 1.1;
    housing.openings = {{LeakByQ{leakQ}, {}, {}}};
    Model m = modelOfReference(housing, feed, Le);
    m.highPass = HighPass{highPassOrder, corner, {}};
    m.driver.Xmax = 4e-3, m.driver.power = 80;
    return m;
}

std::string numbers(const auto& list, const auto& of)
{
    std::string text;
    for (const auto& item : list) {
        const double x = of(item);
        text += (text.empty() ? "" : ", ") + (std::isinf(x) ? std::string("Infinity") : fmt::format("{}", x));
    }
    return "[" + text + "]";
}

void printHousing(const Model& m, const FastModel& fast)
{
    const Driver& d = m.driver.driver;
    fmt::print(R"("air": {{"rho": {}, "c": {}, "mu": {}, "gamma": {}, "Pr": {}}},)"
               "\n",
               m.air.rho, m.air.c, m.air.mu, m.air.gamma, m.air.Pr);
    fmt::print(R"("driver": {{"Re": {}, "Le": {}, "Bl": {}, "Mms": {}, "Cms": {}, "Rms": {}, "Sd": {}, "Xmax": {}, )"
               R"("power": {}, "at": {}}},)"
               "\n",
               d.Re, Le, d.Bl, d.Mms, d.Cms, d.Rms, d.Sd, *m.driver.Xmax, *m.driver.power, driverAt);
    fmt::print(R"("feed": {{"voltage": {}, "order": {}, "corner": {}}}, "leak_q": {}, "lining_q": {}, "fill": {},)"
               "\n",
               feed, highPassOrder, corner, leakQ, liningQ, fast.fill);
    fmt::print(R"("distance": {}, "solid_angle": {}, "band": [{}, {}], "f3_from": {}, "frequency": {},)"
               "\n",
               m.distance, m.solidAngle, fast.bandFrom, fast.bandTo, fast.f3From,
               numbers(fast.frequency, [](double f) { return f; }));
}

// One family with as many bends: where it is placed at some lengths, and its candidates at places between them.
void printRun(const FastModel& fast, const SearchRequest& r, const Air& air, const PortFamily& family, int bends,
              const std::vector<SearchCandidate>& list)
{
    using namespace searching;
    const Placing placing{family.body, family.bendRadius, r.space, air, bends};
    const PlaceTable table = placing.table(list.front().length, list.back().length);
    const PortInCavity& one = table.ports.back();
    const PortOpening port = placing.made(list.back().length);
    const FastPort line = fastPortOf(port, one, *r.portAir, fast);
    fmt::print(R"({{"area": {}, "count": {}, "radius": {}, "slot_height": {}, "held_from": {}, "outer": {}, )"
               R"("outer_free": {}, "air_limit": {}, "separation_k": {}, "textbook_ends": {},)"
               "\n",
               line.area, line.count, one.radius, one.slotHeight, std::min(line.heldFrom, 1e9), one.outer.length,
               one.outer.radiation == Radiation::free, line.airLimit, separationOf(port), line.textbookEnds);
    const auto nodes = [&](const char* name, double FastPlace::* value) {
        fmt::print("\"{}\": {},\n", name, numbers(table.nodes, [&](const PlaceNode& n) { return n.place.*value; }));
    };
    nodes("nominal", &FastPlace::nominal), nodes("line", &FastPlace::length);
    nodes("l0", &FastPlace::l0), nodes("l2", &FastPlace::l2), nodes("volume", &FastPlace::volume);
    nodes("A", &FastPlace::A), nodes("d", &FastPlace::d), nodes("A1", &FastPlace::A1), nodes("P", &FastPlace::P);
    std::vector<SearchCandidate> ours = list;
    FastResponse response(fast, line);
    for (SearchCandidate& c : ours) {
        const PlaceNode node = table.between(c.length);
        c.tuning = node.tuning(), c.scores = response.at(node.place);
    }
    const auto column = [&](const char* name, const char* end, const auto& of) {
        fmt::print("\"{}\": {}{}", name, numbers(ours, of), end);
    };
    column("length", ",\n", [](const SearchCandidate& c) { return c.length; });
    column("tuning", ",\n", [](const SearchCandidate& c) { return c.tuning; });
    column("loudest", ",\n", [](const SearchCandidate& c) { return c.scores.loudest; });
    column("f3", ",\n", [](const SearchCandidate& c) { return c.scores.f3; });
    column("ripple", ",\n", [](const SearchCandidate& c) { return c.scores.ripple; });
    column("travel", "}", [](const SearchCandidate& c) { return c.scores.travel; });
}

}  // namespace

int main()
{
    const Model m = housed();
    SearchRequest r;
    r.space = spaceOf(m, -1);
    r.space.mostBends = 2;
    r.mostTubes = 2;
    r.tuningFrom = 35, r.tuningTo = 140;
    r.portAir = m.portAirLimit;
    r.threads = 1;
    const auto begin = std::chrono::steady_clock::now();
    const auto found = searchPorts(m, -1, r);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
    if (!found) return 1;

    const FastModel fast = fastModelOf(m, r.band).value();
    fmt::print("{{\"candidates\": {}, \"seconds_one_thread\": {},\n", found->candidates, took.count());
    printHousing(m, fast);
    fmt::print("\"ports\": [\n");
    const auto families = familiesOf(r);
    bool first = true;
    for (std::uint32_t i = 0; i < families.size(); ++i) {
        const auto all = candidatesOf(fast, r, m.air, families, i);
        for (int bends = 0; bends <= r.space.mostBends; ++bends) {
            std::vector<SearchCandidate> list;
            std::copy_if(all.begin(), all.end(), std::back_inserter(list),
                         [bends](const SearchCandidate& c) { return c.bends == bends; });
            if (list.empty()) continue;
            if (!first) fmt::print(",\n");
            first = false;
            printRun(fast, r, m.air, families[i], bends, list);
        }
    }
    fmt::print("]}}\n");
}
