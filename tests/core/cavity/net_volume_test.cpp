// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/net_volume.h"

#include "core/cavity/resonances.h"
#include "tests/core/cavity/stated.h"
#include "tests/core/support/random_project.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>
#include <cmath>
#include <rapidcheck/catch.h>

using namespace portwright;
using namespace portwright::test;

namespace {

Deduction taken(double volume, double uncertainty)
{
    Deduction d;
    d.kind = DeductionKind::brace;
    d.volume = volume, d.uncertainty = uncertainty;
    return d;
}

struct Bench {
    Housing housing = closedHousing(0);
    CompleteDriver driver = completed(referenceDriver());
    Air air = roundAir();

    Result<NetVolume> tried() const { return netVolumeOf(housing.cavity, {housing, driver, air}); }
    NetVolume net() const
    {
        const auto result = tried();
        INFO((result ? "" : result.error().field + ": " + result.error().message));
        REQUIRE(result);
        return *result;
    }
    Error refusal() const
    {
        const auto result = tried();
        REQUIRE(!result);
        return result.error();
    }
};

Bench measured(std::vector<Measurement> measurements, std::vector<Deduction> deductions = {})
{
    Bench bench;
    bench.housing.cavity.measurements = std::move(measurements);
    bench.housing.cavity.deductions = std::move(deductions);
    return bench;
}

bool holds(const std::vector<std::string>& remarks, const std::string& words)
{
    return std::any_of(remarks.begin(), remarks.end(),
                       [&](const std::string& remark) { return remark.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("deductions come off the bare shell, with their uncertainty")
{
    const NetVolume v = measured({stated(5e-3, 0.1e-3)}, {taken(0.4e-3, 0.03e-3), taken(0.1e-3, 0.04e-3)}).net();
    CHECK(v.value == Approx(4.5e-3));
    CHECK(*v.uncertainty == Approx(std::hypot(0.1e-3, 0.05e-3)));  // 0.03 and 0.04 make 0.05
    CHECK(v.gross->volume == Approx(5e-3));
    CHECK(!v.stated);
}

TEST_CASE("nothing comes off what was measured with everything in place")
{
    const NetVolume v = measured({stated(4.6e-3, 0.1e-3, InPlace::everything)}, {taken(0.4e-3, 0.03e-3)}).net();
    CHECK(v.value == Approx(4.6e-3));
    CHECK(*v.uncertainty == Approx(0.1e-3));
    CHECK(!v.gross);
}

TEST_CASE("bare and finished readings combine as least squares with the common deductions does")
{
    rc::prop("readings of both kinds, close enough for no Birge ratio", [] {
        const double truth = logUniform(3e-3, 20e-3), off = 0.1 * truth, uOff = logUniform(1e-3, 0.03) * truth;
        const int bare = *rc::gen::inRange(1, 4), finished = *rc::gen::inRange(1, 4), n = bare + finished;
        std::vector<Measurement> measurements;
        Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(n, n);
        Eigen::VectorXd y(n);
        for (int i = 0; i < n; ++i) {
            const double u = logUniform(0.01, 0.1) * truth;
            const double slip = 0.1 * u * (*rc::gen::inRange(-10, 11)) / 10.0;
            const bool shell = i < bare;
            measurements.push_back(
                stated(truth + slip + (shell ? off : 0), u, shell ? InPlace::nothing : InPlace::everything));
            y(i) = truth + slip;
            covariance(i, i) = u * u;
            for (int k = 0; shell && k < bare; ++k)
                covariance(i, k) += uOff * uOff;  // the same deductions come off all of them
        }
        const NetVolume v = measured(measurements, {taken(off, uOff)}).net();
        const Eigen::VectorXd ones = Eigen::VectorXd::Ones(n), weighted = covariance.ldlt().solve(ones);
        RC_ASSERT(std::abs(v.value - weighted.dot(y) / weighted.sum()) < 1e-9 * truth);  // rounding of the solve
        RC_ASSERT(std::abs(*v.uncertainty - std::sqrt(1 / weighted.sum())) < 1e-9 * truth);
    });
}

TEST_CASE("a stated volume wins, and the measurements are told beside it")
{
    Bench bench = measured({stated(5e-3, 0.1e-3)});
    bench.housing.cavity.netVolume = 4e-3;
    const NetVolume v = bench.net();
    CHECK(v.stated);
    CHECK(v.value == 4e-3);
    CHECK(!v.uncertainty);
    CHECK(v.net->volume == Approx(5e-3));
    CHECK(holds(v.remarks, "too far away to be chance"));
    bench.housing.cavity.netUncertainty = 0.6e-3;
    CHECK(*bench.net().uncertainty == 0.6e-3);
    CHECK(holds(bench.net().remarks, "the measurements give"));
    CHECK(!holds(bench.net().remarks, "too far"));
}

TEST_CASE("what was set aside or gives no volume is left out, and the second is told")
{
    Measurement unread;
    unread.method = FillMeasurement{};
    Measurement aside = stated(50e-3, 0.1e-3);
    aside.unused = true;
    const NetVolume v = measured({unread, stated(5e-3, 0.1e-3), aside}).net();
    CHECK(v.value == Approx(5e-3));
    REQUIRE(v.readings.size() == 3);
    CHECK(v.readings[0].error);
    CHECK(v.readings[0].unused);
    CHECK(v.readings[2].unused);
    CHECK(!v.readings[2].error);
    CHECK(holds(v.remarks, "Measurement 1 (Fill) is left out: there is no reading yet"));
}

TEST_CASE("a cavity that nothing gives a volume is refused with its place")
{
    Measurement unread;
    unread.method = FillMeasurement{};
    CHECK(measured({unread}).refusal() ==
          Error{"measurements/0/readings_l", "there is no reading yet; fill the cavity and write down at least one"});
    unread.unused = true;
    CHECK(measured({unread}).refusal().field == "measurements");
    CHECK(measured({}).refusal() == Error{"net_volume_l", "net_volume_l is 0; a volume must be above 0"});
    const Error nothing = measured({stated(1e-3, 0.1e-3)}, {taken(2e-3, 0)}).refusal();
    CHECK(nothing.field == "deductions");
    CHECK(nothing.message == "the deductions take 2.0\u00A0L from a shell of 1.0\u00A0L; nothing is left");
}

TEST_CASE("a port that takes more than there is of the shell is refused at the port")
{
    Bench bench = measured({stated(5e-3, 0.1e-3)}, {taken(1e-3, 0)});
    PortOpening port;
    port.diameter = 0.3, port.wall = 0, port.length = 0.1;  // 7.07 L by pi d^2/4 l
    bench.housing.openings.resize(2);
    bench.housing.openings[0].kind = LeakByQ{7};
    bench.housing.openings[1].kind = port;
    bench.housing.cavity.deductions.push_back({});
    bench.housing.cavity.deductions.back().kind = DeductionKind::port;
    CHECK(bench.refusal().field == "openings/1");
    CHECK(
        bench.refusal().message.starts_with("the port takes 7.07\u00A0L inside, of a shell that has 4.0\u00A0L left"));
    bench.housing.cavity.deductions.front().volume = 6e-3;  // more than the shell even without the port
    CHECK(bench.refusal().field == "deductions");
}

TEST_CASE("a bare shell without its driver or ports among the deductions is remarked")
{
    Bench bench = measured({stated(5e-3, 0.1e-3)});
    PortOpening port;
    port.diameter = 0.06, port.wall = 0.0025, port.length = 0.18;
    bench.housing.openings.resize(1);
    bench.housing.openings[0].kind = port;
    CHECK(holds(bench.net().remarks, "no driver is among the deductions"));
    CHECK(holds(bench.net().remarks, "0.597\u00A0L that the ports take"));
    bench.housing.cavity.deductions.resize(2);
    bench.housing.cavity.deductions[0].kind = DeductionKind::driver;
    bench.housing.cavity.deductions[1].kind = DeductionKind::port;
    CHECK(!holds(bench.net().remarks, "among the deductions"));
}

TEST_CASE("a resonance sees everything in place, and the lining as more air")
{
    Measurement m;
    Bench bench;
    const double spring = gaugeOf({bench.housing, bench.driver, bench.air}).spring;
    m.method = ResonanceMeasurement{closedResonance(6e-3, bench.driver.fs, spring), {}};
    bench.housing.cavity.measurements = {m};
    bench.housing.cavity.deductions = {taken(1e-3, 0.1e-3)};
    CHECK(bench.net().value == Approx(6e-3));
    bench.housing.cavity.fillFactor = 1.2;
    CHECK(bench.net().value == Approx(5e-3));
    CHECK(*bench.net().uncertainty > 5e-3 * 0.2 / 1.2 / 3);  // a third of what the lining adds, at least

    // It says nothing of a second cavity alone.
    bench.housing.secondCavity.emplace();
    bench.housing.secondCavity->cavity.measurements = {m};
    const auto second =
        netVolumeOf(bench.housing.secondCavity->cavity, {bench.housing, bench.driver, bench.air, CavityId::second});
    REQUIRE(!second);
    CHECK(second.error().field == "measurements/0/kind");
}

TEST_CASE("a housing is resolved once and then stays")
{
    Bench bench = measured({stated(5e-3, 0.1e-3)}, {taken(0.5e-3, 0.05e-3)});
    bench.housing.secondCavity.emplace();
    bench.housing.secondCavity->cavity.measurements = {stated(2e-3, 0.1e-3)};
    const auto resolved = resolvedHousing(bench.housing, bench.driver, bench.air);
    REQUIRE(resolved);
    CHECK(resolved->cavity.netVolume == Approx(4.5e-3));
    CHECK(*resolved->cavity.netUncertainty == Approx(std::hypot(0.1e-3, 0.05e-3)));
    CHECK(resolved->secondCavity->cavity.netVolume == Approx(2e-3));
    CHECK(*resolvedHousing(*resolved, bench.driver, bench.air) == *resolved);

    const Housing plain = closedHousing(3e-3);
    CHECK(*resolvedHousing(plain, bench.driver, bench.air) == plain);

    bench.housing.secondCavity->cavity.measurements.clear();
    const auto refused = resolvedHousing(bench.housing, bench.driver, bench.air);
    REQUIRE(!refused);
    CHECK(refused.error().field == "second_cavity/net_volume_l");
}

TEST_CASE("a measured cavity is as its volume given as a number")
{
    Project project;
    project.drivers.resize(1);
    DriverSheet& d = project.drivers[0];
    d.id = "d";
    d.fs = 72, d.Qes = 0.62, d.Qms = 5.1, d.Vas = 9.8e-3, d.Re = 3.3, d.Sd = 132e-4;
    project.housings = {closedHousing(0), closedHousing(5e-3)};
    for (Housing& h : project.housings)
        h.driver = "d";
    project.housings[0].cavity.measurements = {stated(5e-3, 0.1e-3)};
    const auto measuredModel = modelOf(project, 0), plain = modelOf(project, 1);
    REQUIRE(measuredModel);
    REQUIRE(plain);
    CHECK(measuredModel->Cab == Approx(plain->Cab));
    project.housings[0].cavity.measurements[0].method = FillMeasurement{};
    const auto refused = modelOf(project, 0);
    REQUIRE(!refused);
    CHECK(refused.error().field == "/housings/0/cavity/measurements/0/readings_l");
}

TEST_CASE("a resonance sees everything in place, and says so where the file has it otherwise")
{
    const Bench bench;
    Measurement m;
    m.method = ResonanceMeasurement{.fc = 2 * bench.driver.fs, .uncertainty = {}};
    const auto reading = [&] { return *readingOf(m, {bench.housing, bench.driver, bench.air}); };
    const VolumeReading plain = reading();
    CHECK_FALSE(holds(plain.remarks, "nothing is in place"));
    m.inPlace = InPlace::nothing;
    CHECK(holds(reading().remarks, "The file says that nothing is in place"));
    CHECK(reading().inPlace == InPlace::everything);
    CHECK(reading().volume == plain.volume);
    m.inPlace = InPlace::everything;
    CHECK(reading().remarks == plain.remarks);
}

TEST_CASE("the shape is that of the first used sections or scan that has one")
{
    Cavity cavity;
    CHECK(!profileOf(cavity));
    Measurement scan, sections;
    ScanMeasurement read;
    read.profile = {{0, 0.1, 0.3}, {0.01, 0.02, 0.01}, {}};
    scan.method = read;
    SectionsMeasurement table;
    table.sections.resize(2);
    table.sections[1].at = 0.2;
    for (Section& s : table.sections)
        s.width = s.height = 0.1;
    sections.method = table;
    cavity.measurements = {stated(1, 1), sections, scan};
    CHECK(profileOf(cavity)->at.back() == Approx(0.2));
    cavity.measurements[1].unused = true;
    REQUIRE(profileOf(cavity));
    CHECK(profileOf(cavity)->at.back() == Approx(0.3));
    CHECK(profileOf(cavity)->perimeter == std::vector<double>{0, 0, 0});
    read.profile.at = {0, 0.3, 0.1};  // a file may hold anything
    cavity.measurements[2].method = read;
    CHECK(!profileOf(cavity));
}

TEST_CASE("volumes without an uncertainty, or without a volume, are told so")
{
    const auto reading = readingOf(StatedVolume{5e-3, 0});
    REQUIRE(reading);
    CHECK(reading->uncertainty == Approx(0.5e-3));
    CHECK(reading->remarks.size() == 1);
    CHECK(readingOf(StatedVolume{0, 0}).error().field == "volume_l");
    ScanMeasurement scan;
    CHECK(readingOf(scan).error().field == "volume_l");
    scan.volume = 5e-3;
    CHECK(readingOf(scan).error().field == "uncertainty_l");
    scan.uncertainty = 0.1e-3;
    CHECK(readingOf(scan)->volume == 5e-3);
}
