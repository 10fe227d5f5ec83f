// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/axis.h"

#include "tests/plots/synthetic.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

#include <algorithm>
#include <limits>

using namespace portwright;

namespace {

constexpr double inf = std::numeric_limits<double>::infinity();
const AxisRange audio{20, 1000};

rc::Gen<double> between(double from, double to)
{
    return rc::gen::map(rc::gen::inRange(0, 1000001), [=](int n) { return from + (to - from) * n / 1e6; });
}

Curve flat(double value, int slot = 0)
{
    return synthetic::curve(slot, [=](double) { return value; });
}

}  // namespace

TEST_CASE("a frequency axis from 20 Hz to 1 kHz is labelled 20, 50, 100, 200, 500, 1k")
{
    const std::vector<double> ticks = frequencyTicks(audio);
    QStringList labels;
    for (const double t : ticks)
        labels << frequencyTickLabel(t, QLocale::c());
    CHECK(labels.join(' ').toStdString() == "20 50 100 200 500 1k");
}

TEST_CASE("any frequency range has two to forty ticks, all inside it and rising")
{
    rc::prop("any range", [] {
        const double lower = std::pow(10, *between(0, 4.5));
        const double upper = lower * std::pow(2, *between(0.1, 16));
        const std::vector<double> ticks = frequencyTicks({lower, upper});
        RC_ASSERT(ticks.size() >= 1u);
        RC_ASSERT(ticks.size() <= 40u);
        RC_ASSERT(std::is_sorted(ticks.begin(), ticks.end()));
        RC_ASSERT(ticks.front() >= lower * (1 - 1e-8));
        RC_ASSERT(ticks.back() <= upper * (1 + 1e-8));
    });
}

TEST_CASE("nonsense ranges have no ticks")
{
    CHECK(frequencyTicks({0, 100}).empty());
    CHECK(frequencyTicks({-5, 100}).empty());
    CHECK(frequencyTicks({100, 100}).empty());
    CHECK(frequencyTicks({1, inf}).empty());
    CHECK(valueTicks({5, 5}, 5).empty());
    CHECK(valueTicks({0, std::nan("")}, 5).empty());
}

TEST_CASE("value ticks are evenly spaced, no more than asked for, and at least two")
{
    rc::prop("any range", [] {
        const double size = std::pow(10, *between(-6, 9));
        const double lower = *between(-2, 2) * size, upper = lower + *between(0.1, 3) * size;
        const int most = *rc::gen::inRange(3, 10);
        const std::vector<double> ticks = valueTicks({lower, upper}, most);
        RC_ASSERT(ticks.size() >= 1u);
        RC_ASSERT(int(ticks.size()) <= most);
        for (std::size_t i = 2; i < ticks.size(); ++i)
            RC_ASSERT(std::abs((ticks[i] - ticks[i - 1]) / (ticks[1] - ticks[0]) - 1) < 1e-6);
    });
}

TEST_CASE("value labels have the decimals of their step, a real minus and no groups of digits")
{
    const std::vector<double> halves{0, 2.5, 5, 7.5};
    CHECK(valueTickLabel(2.5, halves, QLocale::c()) == "2.5");
    CHECK(valueTickLabel(5, halves, QLocale::c()) == "5.0");
    CHECK(valueTickLabel(-20, {-20, -10, 0}, QLocale::c()) == QString(QChar(0x2212)) + "20");
    CHECK(valueTickLabel(2000, {0, 2000, 4000}, QLocale(QLocale::English)) == "2000");
    CHECK(valueTickLabel(2.5, halves, QLocale(QLocale::German)) == "2,5");
    CHECK(valueTickLabel(2e9, {0, 1e9, 2e9}, QLocale::c()) == "2000M");
}

TEST_CASE("readouts have one decimal, and a dash where there is no figure")
{
    CHECK(readoutText(104.34, QLocale::c()) == "104.3");
    CHECK(readoutText(-3.21, QLocale::c()) == QString(QChar(0x2212)) + "3.2");
    CHECK(readoutText(-0.01, QLocale::c()) == "0.0");
    CHECK(readoutText(std::nan(""), QLocale::c()) == QString(QChar(0x2013)));
    CHECK(readoutText(-inf, QLocale::c()) == QString(QChar(0x2013)));
    CHECK(readoutText(3.25, QLocale(QLocale::German)).contains(','));
}

TEST_CASE("the level window is 50 dB in tens with the highest curve in the top fifth")
{
    rc::prop("any level", [] {
        const double top = *between(-80, 180);
        const AxisRange r = fittedRange(RangePolicy::levelWindow50dB, {flat(top), flat(top - 30, 1)}, {}, audio);
        RC_ASSERT(r.upper - r.lower == 50);
        RC_ASSERT(std::fmod(r.upper, 10) == 0);
        RC_ASSERT(top <= r.upper);
        RC_ASSERT(top >= r.upper - 10);
    });
}

TEST_CASE("travel reaches to twice its limit, air to 30 or twice its limit, load stands on zero")
{
    CHECK(fittedRange(RangePolicy::travelTwiceLimit, {flat(50)}, LimitLine{4, ""}, audio) == AxisRange{0, 8});
    CHECK(fittedRange(RangePolicy::airTwiceLimit, {flat(2)}, LimitLine{17, ""}, audio) == AxisRange{0, 30});
    CHECK(fittedRange(RangePolicy::airTwiceLimit, {flat(2)}, LimitLine{30, ""}, audio) == AxisRange{0, 60});
    const AxisRange load = fittedRange(RangePolicy::fromZero, {flat(21.4)}, {}, audio);
    CHECK(load.lower == 0);
    CHECK(load.upper == 25);
    rc::prop("twice any limit is in the picture", [] {
        const double limit = *between(0.5, 30);
        const AxisRange r = fittedRange(RangePolicy::travelTwiceLimit, {}, LimitLine{limit, ""}, audio);
        RC_ASSERT(r.lower == 0);
        RC_ASSERT(r.upper >= 2 * limit * (1 - 1e-9));
        RC_ASSERT(r.upper <= 2.9 * limit);
    });
}

TEST_CASE("ranges stand still until a curve leaves them")
{
    const AxisRange level{60, 110};
    const auto keep = [&](double top) {
        return keptRange(RangePolicy::levelWindow50dB, level, {flat(top)}, {}, audio);
    };
    CHECK(keep(109.9) == level);
    CHECK(keep(70) == level);
    CHECK(keep(110.1) == AxisRange{70, 120});
    CHECK(keep(55) == AxisRange{10, 60});
    const AxisRange load{0, 25};
    CHECK(keptRange(RangePolicy::fromZero, load, {flat(8)}, {}, audio) == load);
    CHECK(keptRange(RangePolicy::fromZero, load, {flat(26)}, {}, audio).upper > 26);
    CHECK(keptRange(RangePolicy::travelTwiceLimit, {0, 8}, {flat(400)}, LimitLine{4, ""}, audio) == AxisRange{0, 8});
}

TEST_CASE("hidden, absent, empty and broken curves do not move a range")
{
    Curve hidden = flat(500, 1), broken = flat(0, 2), empty;
    hidden.visible = false;
    broken.y.assign(broken.y.size(), inf);
    const std::vector<Curve> all{flat(95), hidden, broken, empty};
    CHECK(fittedRange(RangePolicy::levelWindow50dB, all, {}, audio) == AxisRange{50, 100});
    const AxisRange none = fittedRange(RangePolicy::levelWindow50dB, {empty, broken}, {}, audio);
    CHECK(none.upper - none.lower == 50);
    CHECK(fittedRange(RangePolicy::fromZero, {empty}, {}, audio).upper > 0);
}

TEST_CASE("zoom and drag never leave the audible world, nor turn a bound to zero")
{
    rc::prop("any range", [] {
        const AxisRange r = clampedFrequency({*between(-1e6, 1e6), *between(-1e6, 1e6)});
        RC_ASSERT(r.lower >= frequencyBounds.lower);
        RC_ASSERT(r.upper <= frequencyBounds.upper * (1 + 1e-12));
        RC_ASSERT(r.upper / r.lower >= std::pow(2, 0.1) * (1 - 1e-9));
    });
    CHECK(clampedFrequency({std::nan(""), 5}) == AxisRange{20, 1000});
    CHECK(clampedFrequency({1000, 20}) == AxisRange{20, 1000});
}

TEST_CASE("zooming keeps the point under the mouse")
{
    const AxisRange r = zoomed(audio, 80, 0.5, true);
    CHECK(std::log(80 / r.lower) / std::log(r.upper / r.lower) == Approx(std::log(80.0 / 20) / std::log(50.0)));
    const AxisRange back = zoomed(r, 80, 2, true);
    CHECK(back.lower == Approx(20));
    CHECK(back.upper == Approx(1000));
}

TEST_CASE("a curve is past its limit exactly between its crossings")
{
    const Curve c = synthetic::curve(0, [](double f) { return 20 - 10 * std::abs(std::log10(f / 100)); });
    const std::vector<AxisRange> spans = pastLimit(c, 15);
    REQUIRE(spans.size() == 1);
    CHECK(spans[0].lower == Approx(100 / std::sqrt(10)).epsilon(1e-3));  // 0.35 % is one grid step; crossings are finer
    CHECK(spans[0].upper == Approx(100 * std::sqrt(10)).epsilon(1e-3));
    CHECK(pastLimit(c, 25).empty());
    CHECK(pastLimit(c, -50).size() == 1);
    CHECK(pastLimit({}, 1).empty());
}

TEST_CASE("a gap in a curve ends its stay past the limit")
{
    Curve c = flat(10);
    c.y[200] = std::nan("");
    const std::vector<AxisRange> spans = pastLimit(c, 5);
    REQUIRE(spans.size() == 2);
    CHECK(spans[0].upper == c.x[199]);
    CHECK(spans[1].lower == c.x[201]);
}

TEST_CASE("tags never overlap, stay inside, and keep the order of their curves")
{
    rc::prop("any wanted places", [] {
        const int n = *rc::gen::inRange(1, 9);
        std::vector<double> wanted;
        for (int i = 0; i < n; ++i)
            wanted.push_back(*between(0, 200));
        const std::vector<double> got = pushedApart(wanted, 16, 0, 200);
        RC_ASSERT(got.size() == wanted.size());
        for (std::size_t i = 0; i < got.size(); ++i) {
            RC_ASSERT(got[i] >= 8 - 1e-9);
            RC_ASSERT(got[i] <= 192 + 1e-9);
            for (std::size_t k = 0; k < i; ++k) {
                RC_ASSERT(std::abs(got[i] - got[k]) >= 16 - 1e-9);
                if (wanted[i] != wanted[k]) RC_ASSERT((wanted[i] < wanted[k]) == (got[i] < got[k]));
            }
        }
    });
}

TEST_CASE("tags that do not touch stay where their curves end")
{
    CHECK(pushedApart({50, 100}, 16, 0, 200) == std::vector<double>{50, 100});
    CHECK(pushedApart({100, 100}, 16, 0, 200) == std::vector<double>{92, 108});
    CHECK(pushedApart({}, 16, 0, 200).empty());
}

TEST_CASE("a value between two points is linear in log frequency, and outside there is none")
{
    const Curve c = synthetic::curve(0, [](double f) { return 3 * std::log(f); }, 10, 1000, 7);
    CHECK(valueAt(c, 77) == Approx(3 * std::log(77)));
    CHECK(valueAt(c, 10) == c.y.front());
    CHECK(valueAt(c, c.x.back()) == c.y.back());
    CHECK(std::isnan(valueAt(c, 9)));
    CHECK(std::isnan(valueAt(c, 2000)));
    CHECK(std::isnan(valueAt({}, 100)));
    CHECK(std::isnan(valueAt(c, -1)));
}

TEST_CASE("a curve is judged by its own limit, else by the line, and not at all where no limit is known")
{
    Curve c = flat(5);
    CHECK(pastItsLimit(c, LimitLine{4, ""}).size() == 1);
    CHECK(pastItsLimit(c, {}).empty());
    c.ownLimit = 6;
    CHECK(pastItsLimit(c, LimitLine{4, ""}).empty());
    c.ownLimit = 3;
    CHECK(pastItsLimit(c, {}).size() == 1);
    c.judged = false;
    CHECK(pastItsLimit(c, LimitLine{4, ""}).empty());
}
