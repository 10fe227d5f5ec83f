// SPDX-License-Identifier: GPL-3.0-or-later
// Separation at a port's ends: against a table computed outside this program, against the exact law integrated in time
// by Boost.Odeint, and by its own laws.
#include "core/response/compression.h"

#include "core/network/separation.h"
#include "core/response/limits.h"
#include "core/response/summary.h"

#include "../support/random_project.h"

#include <array>
#include <boost/numeric/odeint.hpp>
#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

constexpr double boxVolume = 14e-3, portArea = pi * 9e-4, leakQ = 7;

// The reference driver in 14 L tuned to 50 Hz, leak Q 7, its port without any loss but separation.
Model loudBox(double E, double K)
{
    Housing h = closedHousing(boxVolume);
    PortOpening p;
    p.diameter = 0.06;
    p.classical = true;
    const double w = 2 * pi * 50, ends = (0.6133 + 0.8217) * 0.03;
    p.length = portArea * 343 * 343 / (w * w * boxVolume) - ends;
    h.openings.push_back({p, {}, {}});
    h.openings.push_back({LeakByQ{leakQ}, {}, {}});
    Model m = modelOfReference(h, E);
    for (HousingElement& e : m.elements)
        if (const auto* tube = std::get_if<Tube>(&e.element)) {
            e.element = Inertance{tube->from, tube->to, 1.2 * (tube->length + tube->ends) / tube->area, 0};
            e.separation = separationFactor(K, portArea, 1, m.air);
        }
    return m;
}

Curves at(const Model& m, double f)
{
    auto c = curvesOf(m, gridOf(Eigen::ArrayXd::Constant(1, f)));
    REQUIRE(c);
    return std::move(*c);
}

// The same box by its differential equations, dp = 1/2 rho K u|u| as it is; state: current, travel, cone velocity, box
// pressure, port flow. W. Klippel, JAES 54 (2006) 907, gives the driver's in this form, here with constant parameters.
using State = std::array<double, 5>;

struct BoxInTime {
    double E, K, f;
    Driver d = referenceDriver();
    double rho = 1.2, Cab = boxVolume / (1.2 * 343 * 343), w0 = 2 * pi * 50;
    double Map = 1 / (w0 * w0 * Cab), Ral = leakQ / (w0 * Cab);

    double feed(double t) const { return E * std::numbers::sqrt2 * std::sin(2 * pi * f * t); }
    void operator()(const State& s, State& ds, double t) const
    {
        const auto [i, x, v, p, U] = s;
        const double u = U / portArea;
        ds = {(feed(t) - d.Re * i - d.Bl * v) / std::get<PlainInductance>(d.inductance).Le, v,
              (d.Bl * i - d.Rms * v - x / d.Cms + d.Sd * p) / d.Mms, (-d.Sd * v - U - p / Ral) / Cab,
              (p - 0.5 * rho * K * u * std::abs(u)) / Map};
    }
};

// Peak of the first harmonic over one period in the steady state, and means over it.
struct InTime {
    double u, x, level, jetHeat, thirdOfU;
};

InTime integrated(const BoxInTime& box)
{
    namespace odeint = boost::numeric::odeint;
    constexpr int points = 500, settle = 80;  // in 80 periods what was at the start has died by e^-40 and more
    odeint::runge_kutta_dopri5<State> stepper;
    State s{};
    const double dt = 1 / (box.f * points);
    std::complex<double> u1 = 0, x1 = 0, p1 = 0, u3 = 0;
    double jet = 0;
    for (int n = 0; n < (settle + 1) * points; ++n) {
        if (n >= settle * points) {
            const double u = s[4] / portArea;
            const auto turn = std::polar(2.0 / points, -2 * pi * n / points);
            u1 += u * turn, x1 += s[1] * turn, p1 += s[3] * turn;
            u3 += u * std::polar(2.0 / points, -6 * pi * n / points);
            jet += 0.5 * box.rho * box.K * portArea * std::abs(u * u * u) / points;
        }
        stepper.do_step(box, s, n * dt, dt);
    }
    // all that leaves the box has left its spring: U = -j w Cab p
    const double w = 2 * pi * box.f, U = w * box.Cab * std::abs(p1) / std::numbers::sqrt2;
    return {std::abs(u1), std::abs(x1), 20 * std::log10(box.rho * box.f * U / 20e-6), jet, std::abs(u3)};
}

}  // namespace

TEST_CASE("the 14 L box played loud: speed, loss, travel and level as tabulated")
{
    // Fixed-point solution in Python of the same describing function, printed digits good to 1e-3.
    struct Row {
        double E, K, u50, R50, x50, level50, u40, level40;
    };
    const Row rows[] = {{2.83, 0, 4.51406, 0, .43638, 88.6513, 4.90874, 83.5648},
                        {2.83, 1, 4.33133, 780.19, .49006, 88.2950, 4.65691, 83.1120},
                        {20, 0, 31.90147, 0, 3.08392, 105.6362, 34.69077, 100.5497},
                        {20, 1, 25.40581, 4576.26, 4.91946, 103.7460, 26.52225, 98.3654},
                        {20, 2, 21.97951, 7918.19, 5.81739, 102.6569, 22.71131, 97.2901}};
    for (const Row& r : rows) {
        CAPTURE(r.E, r.K);
        const Model m = loudBox(r.E, r.K);
        const Curves c50 = at(m, 50), c40 = at(m, 40);
        const double u = c50.portAir.at(0)[0];
        CHECK(u == Approx(r.u50).epsilon(1e-5));
        CHECK(4 / (3 * pi) * 1.2 * r.K * u / portArea == Approx(r.R50).epsilon(1e-5));
        CHECK(c50.coneTravel[0] * 1e3 == Approx(r.x50).epsilon(2e-5));
        CHECK(c50.level[0] == Approx(r.level50).margin(1e-4));
        CHECK(c40.portAir.at(0)[0] == Approx(r.u40).epsilon(1e-5));
        CHECK(c40.level[0] == Approx(r.level40).margin(1e-4));
    }
}

TEST_CASE("the box integrated in time without separation is the phasor model")  // what the integration itself is worth
{
    const InTime t = integrated({.E = 20, .K = 0, .f = 50});
    const Curves c = at(loudBox(20, 0), 50);
    CHECK(t.u == Approx(c.portAir[0][0]).epsilon(1e-6));
    CHECK(t.x == Approx(c.coneTravel[0]).epsilon(1e-6));
    CHECK(t.level == Approx(c.level[0]).margin(1e-5));
}

TEST_CASE("the exact quadratic law integrated in time agrees with its first harmonic")
{
    struct Case {
        double E, K, f;
    };
    for (const auto& [E, K, f] :
         {Case{20, 1, 50}, Case{20, 1, 40}, Case{20, 2, 50}, Case{40, 1, 60}, Case{5, 4, 30}, Case{2.83, 1, 45}}) {
        CAPTURE(E, K, f);
        const InTime t = integrated({.E = E, .K = K, .f = f});
        const Curves c = at(loudBox(E, K), f);
        CHECK(c.portAir[0][0] == Approx(t.u).epsilon(2e-3));  // the third harmonic, 1 %, works back on the first
        CHECK(c.coneTravel[0] == Approx(t.x).epsilon(3e-3));
        CHECK(c.level[0] == Approx(t.level).margin(0.04));  // below the tuning cone and port cancel
        // the jets carry off as much as the resistance takes
        const double u = c.portAir[0][0], R = 4 / (3 * pi) * 1.2 * K * u / portArea;
        CHECK(R * std::pow(u * portArea, 2) / 2 == Approx(t.jetHeat).epsilon(1e-2));
        CHECK(t.thirdOfU < 0.03 * t.u);
    }
    // The same run elsewhere (LSODA): 25.393 m/s with 0.272 in its third harmonic, 4.916 mm, 103.750 dB.
    const InTime t = integrated({.E = 20, .K = 1, .f = 50});
    CHECK(t.u == Approx(25.393).margin(1e-3));
    CHECK(t.thirdOfU == Approx(0.272).margin(1e-3));
    CHECK(t.x * 1e3 == Approx(4.916).margin(1e-3));
    CHECK(t.level == Approx(103.750).margin(1e-3));
    CHECK(integrated({.E = 20, .K = 1, .f = 40}).level == Approx(98.381).margin(1e-3));
    CHECK(integrated({.E = 20, .K = 2, .f = 50}).u == Approx(21.959).margin(1e-3));
}

namespace {

Model arbitraryLoud()
{
    return modelFrom(referenceAir(), completed(arbitraryDriver()),
                     arbitraryHousing({.computedLosses = true, .shaped = coin()}), arbitraryFeed(), Place{});
}

Model withSeparationTimes(Model m, double factor)
{
    for (HousingElement& e : m.elements)
        e.separation *= factor;
    return m;
}

double largestDifference(const Eigen::ArrayXd& a, const Eigen::ArrayXd& b) { return (a - b).abs().maxCoeff(); }

}  // namespace

TEST_CASE("responses for each volt depend on K times the voltage alone")
{
    rc::prop("any housing, any feed", [] {
        const Model m = arbitraryLoud();
        const double k = logUniform(0.05, 20);
        Model other = withSeparationTimes(m, k);
        other.voltage /= k;
        const Grid grid = logGrid(10, 2000, 20);
        const auto a = curvesOf(m, grid), b = curvesOf(other, grid);
        RC_ASSERT(a && b);
        RC_ASSERT(largestDifference(a->level, b->level + 20 * std::log10(k)) < 1e-7);
        RC_ASSERT(largestDifference(a->impedance / b->impedance, Eigen::ArrayXd::Ones(20)) < 1e-8);
        RC_ASSERT(largestDifference(a->coneTravel / b->coneTravel / k, Eigen::ArrayXd::Ones(20)) < 1e-8);
        for (std::size_t i = 0; i < a->portAir.size(); ++i)
            RC_ASSERT(largestDifference(a->portAir[i] / b->portAir[i] / k, Eigen::ArrayXd::Ones(20)) < 1e-8);
    });
}

TEST_CASE("without K, and ever softer with it, a housing is the linear one")
{
    rc::prop("any housing, any feed", [] {
        const Model m = arbitraryLoud(), linear = withSeparationTimes(m, 0);
        Model soft = m;
        soft.voltage = 1e-11;
        const Grid grid = logGrid(10, 2000, 20);
        const auto a = curvesOf(linear, grid), b = curvesOf(soft, grid);
        RC_ASSERT(a && b);
        const double gain = 20 * std::log10(m.voltage / soft.voltage);
        RC_ASSERT(largestDifference(a->level, b->level + gain) < 1e-6);
        RC_ASSERT(largestDifference(a->impedance / b->impedance, Eigen::ArrayXd::Ones(20)) < 1e-7);
        const auto loss = compressionOf(linear, grid, std::array{m.voltage});
        RC_ASSERT(loss.has_value());
        RC_ASSERT((loss->loss[0] == 0).all());
        RC_ASSERT(!compressionPeak(linear));
    });
}

TEST_CASE("tuning, 3 dB point, hump and impedance peaks are those of a small signal")
{
    rc::prop("any housing", [] {
        const Model m = arbitraryLoud();
        const auto a = summaryOf(m), b = summaryOf(withSeparationTimes(m, 0));
        RC_ASSERT(a && b);
        RC_ASSERT(a->fb == b->fb && a->f3 == b->f3 && a->f10 == b->f10);
        RC_ASSERT(a->referenceLevel == b->referenceLevel);
        RC_ASSERT(a->hump.has_value() == b->hump.has_value());
        RC_ASSERT(a->impedancePeaks.size() == b->impedancePeaks.size());
    });
}

TEST_CASE("compression is what the charts' levels at two feeds differ by, beyond the feeds themselves")
{
    rc::prop("any housing, any feed", [] {
        Model m = arbitraryLoud();
        const Grid grid = logGrid(15, 1500, 12);
        // What a soft signal itself loses is in proportion to it: at 1e-9 V some 1e-8 dB in the narrowest port.
        const double soft = 1e-12, loud = logUniform(1, 100);
        const auto c = compressionOf(m, grid, std::array{0.0, loud});
        RC_ASSERT(c.has_value() && c->loss.size() == 2);
        RC_ASSERT((c->loss[0] == 0).all());
        m.voltage = soft;
        const auto quiet = curvesOf(m, grid);
        m.voltage = loud;
        const auto noisy = curvesOf(m, grid);
        RC_ASSERT(quiet && noisy);
        const Eigen::ArrayXd lost = quiet->level + 20 * std::log10(loud / soft) - noisy->level;
        RC_ASSERT(largestDifference(lost, c->loss[1]) < 1e-6);
    });
    CHECK_FALSE(compressionOf(loudBox(1, 1), logGrid(20, 200, 3), std::array{-1.0}));
}

TEST_CASE("more feed never drives a port's air faster in proportion")
{
    rc::prop("any driver, one port in one cavity", [] {
        Housing h = closedHousing(logUniform(1e-3, 60e-3));
        PortOpening port;
        port.diameter = logUniform(0.02, 0.12), port.length = logUniform(0.01, 0.4);
        h.openings.push_back({port, {}, {}});
        if (coin()) h.openings.push_back({LeakByQ{logUniform(3, 50)}, {}, {}});
        Model m = modelFrom(referenceAir(), completed(arbitraryDriver()), h, arbitraryFeed(), Place{});
        // Up to a quarter of a wave along port and cavity: the law is that of the mouth that separates, and nearer to a
        // standing wave the faster of the two ends, which is shown, may be the other one.
        const double quarter = m.air.c / (4 * (port.length + std::cbrt(h.cavity.netVolume)));
        const Grid grid = logGrid(15, std::min(1500.0, quarter), 20);
        m.voltage = 1e-3;
        Eigen::ArrayXd before = curvesOf(m, grid)->portAir.at(0) / m.voltage;
        for (m.voltage = 0.1; m.voltage < 500; m.voltage *= 2) {
            const auto c = curvesOf(m, grid);
            RC_ASSERT(c.has_value());
            const Eigen::ArrayXd each = c->portAir[0] / m.voltage;
            // each solved to some 1e-12 of itself (network/separation.cpp)
            RC_ASSERT((each <= before * (1 + 1e-11)).all());
            before = each;
        }
    });
}

TEST_CASE("the loud box in numbers: what it gives up, and the same port at half and double the drive")
{
    const Model m = loudBox(20, 1);
    // from the table: 105.6362 - 103.7460 at 50 Hz, 100.5497 - 98.3654 at 40 Hz
    Eigen::ArrayXd f(2);
    f << 50, 40;
    const auto c = compressionOf(m, gridOf(f), std::array{20.0});
    REQUIRE(c);
    CHECK(c->loss[0][0] == Approx(1.8902).margin(2e-4));
    CHECK(c->loss[0][1] == Approx(2.1843).margin(2e-4));
    const auto peak = compressionPeak(m);
    REQUIRE(peak);
    CHECK(peak->loss >= c->loss[0].maxCoeff());
    const auto there = compressionOf(m, logGrid(20, 2000, 500), std::array{20.0});
    CHECK(peak->loss >= there->loss[0].maxCoeff() - 1e-6);

    const auto ports = portsAtDrives(m);
    REQUIRE(ports);
    REQUIRE(ports->size() == 1);
    const PortAtDrives& p = ports->front();
    CHECK(p.opening == 0);
    CHECK(p.drive[0].voltage == Approx(10));
    CHECK(p.drive[2].voltage == Approx(40));
    CHECK(p.drive[1].airSpeed >= at(m, 40).portAir[0][0]);
    CHECK(p.drive[1].airSpeed == Approx(at(m, p.frequency).portAir[0][0]));
    CHECK(p.numbers.mach == Approx(p.drive[1].airSpeed / 343).epsilon(1e-6));
    for (int i : {0, 1}) {  // louder: faster, but by less than the feed; more is lost
        CHECK(p.drive[i + 1].airSpeed > p.drive[i].airSpeed);
        CHECK(p.drive[i + 1].airSpeed < 2 * p.drive[i].airSpeed);
        CHECK(p.drive[i + 1].loss > p.drive[i].loss);
        CHECK(p.drive[i + 1].level - p.drive[i].level ==
              Approx(20 * std::log10(2.0) - p.drive[i + 1].loss + p.drive[i].loss).margin(1e-6));
    }
    CHECK(portsAtDrives(loudBox(0, 1))->empty());
    CHECK_FALSE(compressionPeak(loudBox(0, 1)));
}

TEST_CASE("the tuning falls as the port's loss rises, as a lossy mass on a spring does")
{
    CHECK(*tuningAtFeed(loudBox(1e-6, 1)) == Approx(50).epsilon(1e-8));
    double before = 50;
    for (double E : {5.0, 20.0, 80.0}) {
        CAPTURE(E);
        const Model m = loudBox(E, 1);
        const auto f = tuningAtFeed(m);
        REQUIRE(f);
        CHECK(*f < before);
        before = *f;
        // Im(j w C + 1/(R + j w M)) = 0: w^2 = 1/(M C) - (R/M)^2, R of the speed at that frequency
        const double C = boxVolume / (1.2 * 343 * 343), M = 1 / (std::pow(2 * pi * 50, 2) * C);
        const double R = 4 / (3 * pi) * 1.2 * at(m, *f).portAir[0][0] / portArea;
        CHECK(2 * pi * *f == Approx(std::sqrt(1 / (M * C) - R * R / (M * M))).epsilon(1e-7));
    }
    CHECK_FALSE(tuningAtFeed(modelOfReference(closedHousing(8e-3))));
    rc::prop("loud, a port may lose its tuning, but never takes a wave in the cavity for it", [] {
        Model m = arbitraryLoud();
        m.highPass.reset();
        m.voltage = std::pow(10.0, *rc::gen::inRange(0, 5));
        const auto loud = tuningAtFeed(m), own = loadResonance(m);
        if (!loud) return;
        RC_ASSERT(own.has_value());
        RC_ASSERT(*loud <= 1.02 * *own);
    });
    rc::prop("softly, any vented housing has the tuning of its air load", [] {
        Model m = arbitraryLoud();
        if (m.kind != SystemKind::vented) return;
        m.voltage = 1e-9;
        m.highPass.reset();
        const auto soft = tuningAtFeed(m);
        std::optional<double> own;
        if (tuningOf(m)) own = loadResonance(m);
        RC_ASSERT(soft.has_value() == own.has_value());
        if (own) RC_ASSERT(std::abs(*soft / *own - 1) < 1e-6);
    });
}
