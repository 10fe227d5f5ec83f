// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/remedies.h"
#include "core/response/verdicts.h"

#include "core/port/port_tuning.h"

#include "../support/random_project.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

DriverSheet midBass()
{
    DriverSheet s;
    s.id = "mid165";
    s.fs = 72, s.Qes = 0.62, s.Qms = 5.1, s.Vas = 9.8e-3, s.Re = 3.3, s.Le = 0.25e-3, s.Sd = 132e-4;
    s.Xmax = 4e-3, s.Xmech = 8e-3, s.power = 100, s.nominalImpedance = 4;
    return s;
}

Project job(double voltage)
{
    Project p;
    p.drivers.push_back(midBass());
    p.feed = Feed{};
    p.feed->voltage = voltage;
    Housing stock = closedHousing(1.6e-3);
    stock.driver = "mid165";
    stock.openings.push_back({LeakByQ{7}, {}, {}});
    Housing ported = closedHousing(5.2e-3);
    ported.driver = "mid165";
    PortOpening port;
    port.diameter = 0.054, port.length = 0.13, port.classical = true, port.lossQ = 80;
    ported.openings.push_back({LeakByQ{7}, {}, {}});
    ported.openings.push_back({port, {}, {}});
    p.housings = {stock, ported};
    return p;
}

std::vector<Verdict> judged(const Project& p, std::size_t housing)
{
    const auto m = modelOf(p, housing);
    REQUIRE(m);
    return verdictsOf(*m, *curvesOf(*m, logGrid(10, 2000, 400)), *summaryOf(*m));
}

const Verdict* find(const std::vector<Verdict>& list, const std::string& subject, State state)
{
    const auto it = std::find_if(list.begin(), list.end(),
                                 [&](const Verdict& v) { return v.subject == subject && v.state == state; });
    return it == list.end() ? nullptr : &*it;
}

}  // namespace

TEST_CASE("a ported housing without a high-pass passes its travel, and the remedy ends that")
{
    const Project p = job(14.1);
    const auto before = judged(p, 1);
    const Verdict* over = find(before, "cone travel", State::over);
    REQUIRE(over);
    REQUIRE(over->remedy);
    REQUIRE(std::holds_alternative<SetHighPass>(*over->remedy));
    CHECK(over->text.find("high-pass at") != std::string::npos);
    CHECK(over->text.find("stay under") != std::string::npos);
    const auto after = judged(applied(p, 1, *over->remedy), 1);
    CHECK_FALSE(find(after, "cone travel", State::over));
}

TEST_CASE("a port that blows is mended by the wider one it is told, at the same tuning")
{
    Project p = job(14.1);
    p.feed->highPass = HighPass{4, 60, {}};
    const auto before = judged(p, 1);
    const Verdict* over = find(before, "port air", State::over);
    REQUIRE(over);
    REQUIRE(std::holds_alternative<SetPort>(*over->remedy));
    const Project wider = applied(p, 1, *over->remedy);
    CHECK_FALSE(find(judged(wider, 1), "port air", State::over));
    CHECK(*summaryOf(*modelOf(wider, 1))->fb ==
          Approx(*summaryOf(*modelOf(p, 1))->fb).epsilon(0.005));  // length is a whole millimetre
    Project almost = wider;                                        // one millimetre less would not do
    auto& port = std::get<PortOpening>(almost.housings[1].openings[1].kind);
    const double leff = port.length + (0.6133 + 0.8217) * port.diameter / 2;
    port.diameter -= 1e-3;
    port.length = leff * std::pow(port.diameter / (port.diameter + 1e-3), 2) - (0.6133 + 0.8217) * port.diameter / 2;
    const auto m = modelOf(almost, 1);
    CHECK(curvesOf(*m, logGrid(20, 2000, 600))->portAir[0].maxCoeff() > 0.98 * 17);
}

TEST_CASE("a wider port grows inwards: what stands outside its cavity stays, and is not counted as taken")
{
    Project p = job(14.1);
    auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
    port.classical = false, port.lossQ.reset();
    port.innerEnd = TubeEnd::free, port.inside = 0.10;
    const double outside = port.length - *port.inside;
    const WiderPort wider = widerPort(*modelOf(p, 1), 1);
    REQUIRE(wider.found != WiderPort::Found::none);
    REQUIRE(wider.port.length > port.length);
    const PortOpening made = resized(port, wider.port);
    CHECK(made.length - *made.inside == Approx(outside).epsilon(1e-12));
    CHECK(moreTaken(port, wider.port) == Approx(areaOf(made) * *made.inside - areaOf(port) * 0.10).epsilon(1e-9));
    const Project put = applied(p, 1, wider.port);
    CHECK(std::get<PortOpening>(put.housings[1].openings[1].kind) == made);
    port.inside = 0, port.innerEnd = TubeEnd::flush;
    CHECK(moreTaken(port, wider.port) == Approx(areaOf(resized(port, wider.port)) * (wider.port.length - port.length)));
}

TEST_CASE("a bore so narrow that friction leaves no tuning is told so, and no tuning is shown anywhere")
{
    Project p = job(8);
    auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
    port.classical = false, port.lossQ.reset();
    port.diameter = 0.003, port.length = 0.3;
    const auto list = judged(p, 1);
    const Verdict* none = find(list, "tuning", State::note);
    REQUIRE(none);
    CHECK(none->text.find("leaves no tuning") != std::string::npos);
    CHECK_FALSE(find(list, "textbook tuning", State::note));
    CHECK_FALSE(find(list, "high-pass", State::note));
    CHECK_FALSE(summaryOf(*modelOf(p, 1))->fb);
}

TEST_CASE("a small sealed cavity is told why it has no bass")
{
    const auto list = judged(job(2.83), 0);
    const Verdict* note = find(list, "air spring", State::note);
    REQUIRE(note);
    CHECK(note->text.find("times as stiff") != std::string::npos);
    CHECK(find(list, "cone travel", State::holds));
}

TEST_CASE("what is not given is not judged, and that is said")
{
    Project p = job(14.1);
    p.drivers[0].Xmax.reset();
    p.drivers[0].Xmech.reset();
    p.drivers[0].power.reset();
    const auto list = judged(p, 1);
    CHECK(find(list, "cone travel", State::missing));
    CHECK(find(list, "power", State::missing));
}

TEST_CASE("amplifier, load, power and end stop are judged against what is given")
{
    Project p = job(40);
    p.feed->amplifier = AmplifierRating{50, 8, {}};
    p.drivers[0].power = 20;
    const auto list = judged(p, 1);
    CHECK(find(list, "amplifier", State::over));
    CHECK(find(list, "load", State::over));
    CHECK(find(list, "power", State::over));
    CHECK(find(list, "end stop", State::over));
    const Verdict* clip = find(list, "amplifier", State::over);
    const Project quiet = applied(p, 1, *clip->remedy);
    CHECK_FALSE(find(judged(quiet, 1), "amplifier", State::over));
}

TEST_CASE("verdicts come worst first, and each names its rule")
{
    rc::prop("any feed and port", [] {
        Project p = job(logUniform(0.5, 60));
        if (coin()) p.feed->highPass = HighPass{4, logUniform(30, 150), {}};
        std::get<PortOpening>(p.housings[1].openings[1].kind).diameter = logUniform(0.02, 0.1);
        for (std::size_t h : {0u, 1u}) {
            const auto m = modelOf(p, h);
            RC_ASSERT(m.has_value());
            const auto list = verdictsOf(*m, *curvesOf(*m, logGrid(10, 2000, 400)), *summaryOf(*m));
            const auto rank = [](State s) {
                return s == State::over ? 0 : s == State::near ? 1 : s == State::missing ? 2 : s == State::note ? 3 : 4;
            };
            for (std::size_t i = 0; i < list.size(); ++i) {
                RC_ASSERT(!list[i].rule.empty() && !list[i].text.empty());
                RC_ASSERT(list[i].remedy.has_value() == !list[i].remedyWords.empty());
                if (i > 0) RC_ASSERT(rank(list[i - 1].state) <= rank(list[i].state));
            }
        }
    });
}

TEST_CASE("every remedy offered cures the verdict it is offered for")
{
    rc::prop("any feed and port", [] {
        Project p = job(logUniform(5, 60));
        auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
        port.diameter = logUniform(0.03, 0.08);
        if (coin()) port.lossQ.reset();  // then it separates, and nothing grows in proportion
        if (coin()) p.feed->highPass = HighPass{4, logUniform(30, 80), {}};
        const auto m = modelOf(p, 1);
        const Grid grid = logGrid(10, 2000, 400);
        for (const Verdict& v : verdictsOf(*m, *curvesOf(*m, grid), *summaryOf(*m))) {
            if (!v.remedy || v.state != State::over) continue;
            const auto changed = modelOf(applied(p, 1, *v.remedy), 1);
            RC_ASSERT(changed.has_value());
            for (const Verdict& w : verdictsOf(*changed, *curvesOf(*changed, grid), *summaryOf(*changed)))
                if (w.subject == v.subject && w.state == State::over) RC_FAIL(v.text + " -- but then: " + w.text);
        }
    });
}

TEST_CASE("cautions speak of hearing, cutting and test tones, with the daily time of NIOSH 98-126")
{
    const auto list = cautions(100);
    REQUIRE(list.size() >= 3);
    CHECK(list[0].find("15") != std::string::npos);  // 100 dB(A): 15 min a day
    CHECK(list[1].find("fuel") != std::string::npos);
    CHECK(list[2].find("Test tones") != std::string::npos);
    CHECK_FALSE(cautions(-std::numeric_limits<double>::infinity()).empty());
}

TEST_CASE("a wider port that would fill the cavity is not offered")
{
    Project p = job(40);
    auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
    port.diameter = 0.025, port.length = 0.05;
    const auto list = judged(p, 1);
    const Verdict* over = find(list, "port air", State::over);
    REQUIRE(over);
    CHECK(std::holds_alternative<SetVoltage>(*over->remedy));
    CHECK(widerPort(*modelOf(p, 1), 1).found == WiderPort::Found::noRoom);  // it would fill the cavity
    CHECK(over->text.find("cannot be built in (no air is left") != std::string::npos);
}

TEST_CASE("a wider port is held to the run that was measured for it, and so is the one there is")
{
    Project p = job(14.1);
    const auto wide = widerPort(*modelOf(p, 1), 1);
    REQUIRE(wide.found == WiderPort::Found::fits);
    RoomForPort& room = p.housings[1].cavity.roomForPort.emplace();
    room.straight = wide.port.length + wide.port.bore + 1e-3;
    CHECK(widerPort(*modelOf(p, 1), 1).found == WiderPort::Found::fits);
    CHECK_FALSE(find(judged(p, 1), "port room", State::over));
    CHECK_FALSE(find(judged(p, 1), "port room", State::note));
    room.straight = wide.port.length + wide.port.bore - 2e-3;
    const auto held = widerPort(*modelOf(p, 1), 1);
    CHECK(held.found == WiderPort::Found::noRoom);
    CHECK(held.why.find("it leaves") != std::string::npos);
    room.straight = 0.15;  // 130 mm and less than a bore before it
    const auto verdicts = judged(p, 1);
    const Verdict* tight = find(verdicts, "port room", State::note);
    REQUIRE(tight);
    CHECK(tight->text.find("port 1 has little room: of the 150") == 0);
    CHECK(tight->field == "openings/1/length_mm");
    room.straight = 0.12;
    CHECK(find(judged(p, 1), "port room", State::over));
}

TEST_CASE("a wider port that takes more than a tenth of the cavity is told so, and not that it does not fit")
{
    int seen = 0;
    for (const double volts : {10.0, 12.0, 14.0, 17.0, 20.0}) {
        Project p = job(volts);
        const auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
        const WiderPort wider = widerPort(*modelOf(p, 1), 1);
        if (wider.found != WiderPort::Found::takesMuch) continue;
        ++seen;
        auto tried = port;
        tried.diameter = wider.port.bore, tried.length = wider.port.length;
        CavityRoom room = roomOf(p.housings[1].cavity);
        room.netVolume -= outlineVolume(tried) - outlineVolume(port);
        CHECK_FALSE(whyImpossible(tried, room));  // by the test of the search it can be built
        CHECK(outlineVolume(tried) - outlineVolume(port) > 0.1 * p.housings[1].cavity.netVolume);
        const auto list = judged(p, 1);
        const Verdict* over = find(list, "port air", State::over);
        REQUIRE(over);
        CHECK(over->text.find("that would keep the tuning takes") != std::string::npos);
        CHECK(over->text.find("fit") == std::string::npos);
    }
    CHECK(seen > 0);
}

TEST_CASE("a wider port that cannot be built in is told with the search's own reason")
{
    Project p = job(14.1);
    p.feed->highPass = HighPass{4, 60, {}};
    const WiderPort free = widerPort(*modelOf(p, 1), 1);
    REQUIRE(free.found == WiderPort::Found::fits);
    Cavity& cavity = p.housings[1].cavity;
    const auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
    // A box so narrow that the port that is there goes through its wall, and the wider one does not.
    cavity.width = (port.diameter + free.port.bore) / 2, cavity.breadth = 0.2;
    const WiderPort narrow = widerPort(*modelOf(p, 1), 1);
    CHECK(narrow.found == WiderPort::Found::noRoom);
    auto tried = port;
    tried.diameter = narrow.port.bore, tried.length = narrow.port.length;
    CavityRoom room = roomOf(cavity);
    CHECK(narrow.why == whyImpossible(tried, room).value());
    const auto list = judged(p, 1);
    const Verdict* over = find(list, "port air", State::over);
    REQUIRE(over);
    CHECK(over->text.find("cannot be built in (" + narrow.why + ")") != std::string::npos);
    CHECK(std::holds_alternative<SetVoltage>(*over->remedy));
}

TEST_CASE("a hump is told as the response has it, not as a lossless formula would")
{
    Project p = job(2.83);
    const auto tight = judged(p, 0);
    const Verdict* hump = find(tight, "damping", State::note);
    REQUIRE(hump);
    const auto summary = summaryOf(*modelOf(p, 0));
    REQUIRE(summary->hump);
    auto plain = *modelOf(p, 0);
    plain.driver.driver.inductance = PlainInductance{};
    const auto level = curvesOf(plain, logGrid(100, 1000, 3000))->level;
    CHECK(summary->hump->height == Approx(level.maxCoeff() - summary->referenceLevel).margin(1e-3));
    std::get<LeakByQ>(p.housings[0].openings[0].kind).q = 1;  // so leaky that no hump is left
    CHECK_FALSE(find(judged(p, 0), "damping", State::note));
}

TEST_CASE("the amplifier's load counts the resistor before the drivers")
{
    Project p = job(10);
    p.feed->amplifier = AmplifierRating{50, 4, {}};
    p.housings[0].driverCount = 2;
    CHECK(find(judged(p, 0), "load", State::over));
    p.feed->seriesParts.push_back({SeriesResistor{2.5}, {}});
    CHECK_FALSE(find(judged(p, 0), "load", State::over));
}

TEST_CASE("at 0 V nothing is judged, and that is said")
{
    const auto list = judged(job(0), 1);
    REQUIRE(list.size() == 1);
    CHECK(list[0].text.find("0\u00A0V") != std::string::npos);
}

TEST_CASE("the daily time is rounded down and never passes a day")
{
    CHECK(cautions(110)[0].find("89\u00A0s") != std::string::npos);  // 1.488 min
    CHECK(cautions(80.4)[0].find("24\u00A0h") != std::string::npos);
}

TEST_CASE("a high-pass that must lie above the tuning is offered with the usual one and the voltage it allows")
{
    Project p = job(30);
    const auto list = judged(p, 1);
    const Verdict* over = find(list, "cone travel", State::over);
    REQUIRE(over);
    const auto* filter = std::get_if<SetHighPass>(&*over->remedy);
    REQUIRE(filter);
    const auto summary = summaryOf(*modelOf(p, 1));
    REQUIRE(filter->corner > *summary->fb);
    const std::size_t at = over->text.find("costs bass: with ");
    REQUIRE(at != std::string::npos);
    const double corner = std::stod(over->text.substr(at + 17));
    const double voltage = std::stod(over->text.substr(over->text.rfind("stay under ") + 11));
    p.feed->voltage = voltage;
    p.feed->highPass = HighPass{4, corner, {}};
    CHECK_FALSE(find(judged(p, 1), "cone travel", State::over));
}

TEST_CASE("a gap or a hole too wide for laminar flow is told to be entered as a port")
{
    Project p = job(2.83);
    const auto told = [&p](Opening leak) {
        p.housings[0].openings = {std::move(leak)};
        const auto list = judged(p, 0);
        const Verdict* note = find(list, "leak", State::note);
        return note ? note->text : std::string();
    };
    CHECK(told({LeakSlit{0.1, 2.5e-3, 5e-3}, {}, {}}).find("2.5\u00A0mm is too high") != std::string::npos);
    CHECK(told({LeakSlit{0.1, 2.5e-3, 5e-3}, {}, {}}).find("enter it as a slot port") != std::string::npos);
    CHECK(told({LeakSlit{0.1, 1.9e-3, 5e-3}, {}, {}}).empty());
    CHECK(told({LeakHole{6e-3, 3e-3, {}}, {}, {}}).find("6\u00A0mm is too wide") != std::string::npos);
    CHECK(told({LeakHole{4.9e-3, 3e-3, {}}, {}, {}}).empty());
}

TEST_CASE("travel that falls from below is greatest at 20 Hz, the lowest frequency judged, and told there")
{
    const Project p = job(2.83);
    const auto m = modelOf(p, 0);
    REQUIRE(m);
    const Grid coarse = logGrid(10, 2000, 40);  // no point at 20 Hz
    const auto list = verdictsOf(*m, *curvesOf(*m, coarse), *summaryOf(*m));
    const Verdict* travel = find(list, "cone travel", State::holds);
    REQUIRE(travel);
    CHECK(*travel->frequency == 20);
    CHECK(travel->text.find("at 20.0\u00A0Hz") != std::string::npos);
    CHECK(*travel->value == Approx(curvesOf(*m, logGrid(20, 20, 1))->coneTravel[0] * 1e3).epsilon(1e-12));
}

TEST_CASE("US units change the words of the verdicts, and neither what is judged nor what is offered")
{
    Project p = job(40);
    p.housings[0].openings.push_back({LeakHole{6e-3, 3e-3, {}}, {}, {}});
    for (std::size_t h : {0u, 1u}) {
        const auto m = modelOf(p, h);
        const auto curves = curvesOf(*m, logGrid(10, 2000, 400));
        const auto summary = summaryOf(*m);
        const auto metric = verdictsOf(*m, *curves, *summary), us = verdictsOf(*m, *curves, *summary, UnitSystem::us);
        REQUIRE(us.size() == metric.size());
        for (std::size_t i = 0; i < us.size(); ++i) {
            CAPTURE(us[i].text);
            CHECK(us[i].state == metric[i].state);
            CHECK(us[i].subject == metric[i].subject);
            CHECK(us[i].field == metric[i].field);
            CHECK(us[i].frequency == metric[i].frequency);
            CHECK(us[i].remedy.has_value() == metric[i].remedy.has_value());
            for (const char* unit : {"\u00A0m/s", "\u00A0L ", "\u00A0cm\u00B2"})
                CHECK(us[i].text.find(unit) == std::string::npos);
            if (const auto *a = us[i].remedy ? std::get_if<SetPort>(&*us[i].remedy) : nullptr,
                *b = metric[i].remedy ? std::get_if<SetPort>(&*metric[i].remedy) : nullptr;
                a && b) {
                CHECK(a->bore == b->bore);
                CHECK(a->length == b->length);
                CHECK(us[i].remedyWords.find("\u00A0in ") != std::string::npos);
            }
        }
    }
    const auto m = modelOf(p, 1);
    const auto list = verdictsOf(*m, *curvesOf(*m, logGrid(10, 2000, 400)), *summaryOf(*m), UnitSystem::us);
    const Verdict* air = find(list, "port air", State::over);
    REQUIRE(air);
    CHECK(air->text.find("limit 55.8 (common practice)") != std::string::npos);  // 17 m/s over 0.3048 m
    CHECK(*air->limit == Approx(17 / 0.3048));
    const auto sealed = modelOf(p, 0);
    const auto other =
        verdictsOf(*sealed, *curvesOf(*sealed, logGrid(10, 2000, 400)), *summaryOf(*sealed), UnitSystem::us);
    const Verdict* spring = find(other, "air spring", State::note);
    REQUIRE(spring);
    CHECK(spring->text.starts_with("0.0565\u00A0ft\u00B3 of air"));  // 1.6 L over 28.3168 L
}

TEST_CASE("a port that gives up level as it plays louder is told how much, and one with a given loss is not")
{
    Project p = job(40);
    auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
    CHECK_FALSE(find(judged(p, 1), "compression", State::note));
    port.lossQ.reset();
    const auto list = judged(p, 1);
    const Verdict* note = find(list, "compression", State::note);
    REQUIRE(note);
    REQUIRE(note->text.starts_with("the port gives up "));
    CHECK(std::stod(note->text.substr(18)) == Approx(*note->value).margin(0.05));
    CHECK(note->rule.find("estimate") != std::string::npos);
    // as the levels at this feed and at a thousandth of it say
    const Grid there = logGrid(*note->frequency, *note->frequency, 1);
    Project soft = p;
    soft.feed->voltage = 40e-3;
    const double loud = curvesOf(*modelOf(p, 1), there)->level[0], quiet = curvesOf(*modelOf(soft, 1), there)->level[0];
    CHECK(quiet + 60 - loud == Approx(*note->value).margin(0.01));
    // flares lose less, and 17 m/s is then no longer all that is common
    port.innerFlare = port.outerFlare = 0.02;
    const auto flared = judged(p, 1);
    const Verdict* less = find(flared, "compression", State::note);
    REQUIRE(less);
    CHECK(*less->value < *note->value);
    const Verdict* air = find(flared, "port air", State::over);
    REQUIRE(air);
    CHECK(air->text.find("with flares like these up to 25\u00A0m/s is common practice") != std::string::npos);
    p.limits = LimitSettings{};
    p.limits->portAir = 12;  // a limit of one's own goes before
    const auto own = judged(p, 1);
    REQUIRE(find(own, "port air", State::over));
    CHECK(find(own, "port air", State::over)->text.find("common practice") == std::string::npos);
    port.separationK = 1.5;
    const auto given = judged(p, 1);
    REQUIRE(find(given, "compression", State::note));
    CHECK(find(given, "compression", State::note)->rule.find("as given") != std::string::npos);
}

TEST_CASE("a port that rings inside the driver's band is told with its frequency, a short one is not")
{
    Project p = job(2.83);
    auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
    port.classical = false;
    port.length = 0.3;
    const auto list = judged(p, 1);
    const Verdict* rings = find(list, "tube", State::note);
    REQUIRE(rings);
    const auto m = modelOf(p, 1);
    CHECK(rings->frequency.value() ==
          Approx(pipeResonanceOf(portInCavity(port, roomOf(p.housings[1].cavity), m->air))).epsilon(1e-6));
    CHECK(rings->text.find("inside the driver's band (to 845\u00A0Hz)") != std::string::npos);
    port.length = 0.1;
    CHECK_FALSE(find(judged(p, 1), "tube", State::note));
}

TEST_CASE("textbook and reckoned tuning are told where they differ by more than 1 %, both ways round")
{
    Project p = job(2.83);
    auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
    port.diameter = 0.08, port.length = 0.05;
    const auto tunings = tuningsOf(port, roomOf(p.housings[1].cavity), modelOf(p, 1)->air);
    REQUIRE(std::abs(tunings.reckoned / tunings.textbook - 1) > 0.01);
    const auto classical = judged(p, 1);
    const Verdict* asked = find(classical, "textbook tuning", State::note);
    REQUIRE(asked);
    CHECK(asked->text.find("the file asks for the textbook") != std::string::npos);
    CHECK(asked->value.value() == Approx(tunings.reckoned));
    CHECK(asked->limit.value() == Approx(tunings.textbook));
    port.classical = false;
    const auto lines = judged(p, 1);
    const Verdict* told = find(lines, "textbook tuning", State::note);
    REQUIRE(told);
    CHECK(told->value.value() == Approx(tunings.reckoned).epsilon(1e-3));
    CHECK(told->text.find("inner sizes not given") != std::string::npos);
    p.housings[1].cavity.width = 0.17, p.housings[1].cavity.depth = 0.18;
    const auto known = judged(p, 1);
    if (const Verdict* sized = find(known, "textbook tuning", State::note))
        CHECK(sized->text.find("not given") == std::string::npos);
    p.housings[1].cavity.model = CavityModel::lumped;
    CHECK_FALSE(find(judged(p, 1), "textbook tuning", State::note));
}

TEST_CASE("a wider port is offered with the length that keeps the tuning of lines")
{
    Project p = job(14.1);
    auto& port = std::get<PortOpening>(p.housings[1].openings[1].kind);
    port.classical = false, port.lossQ.reset(), port.innerEnd = TubeEnd::flush;
    const auto before = modelOf(p, 1);
    const auto list = judged(p, 1);
    const Verdict* air = find(list, "port air", State::over);
    REQUIRE(air);
    REQUIRE(air->remedy);
    const auto* wider = std::get_if<SetPort>(&*air->remedy);
    REQUIRE(wider);
    const auto after = modelOf(applied(p, 1, *wider), 1);
    REQUIRE(after);
    // up to a whole millimetre of length
    CHECK(summaryOf(*after)->fb.value() == Approx(summaryOf(*before)->fb.value()).epsilon(5e-3));
}
