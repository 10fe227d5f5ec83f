// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/resonances.h"

#include <algorithm>
#include <array>
#include <ceres/ceres.h>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

using Parameters = std::array<double, 3>;  // ln(V - largest bottle), ln push, ln fs

struct Gauge {
    double bottle = 0, fc = 0, weight = 0;  // m3, Hz, 1/Hz
};

struct Job {
    std::vector<Gauge> readings;
    double largestBottle = 0, fs = 0, fsUncertainty = 0;  // m3, Hz, Hz
};

// fc^2 = fs^2 + push/(V - bottle)
template <class T> T resonanceAt(const T* x, double largestBottle, double bottle)
{
    using std::exp;
    using std::sqrt;
    const T fs = exp(x[2]);
    return sqrt(fs * fs + exp(x[1]) / (exp(x[0]) + (largestBottle - bottle)));
}

// A step that overflows is one to take back, not one to be told of on standard error.
bool isFinite(double x) { return std::isfinite(x); }
template <int n> bool isFinite(const ceres::Jet<double, n>& x) { return std::isfinite(x.a) && x.v.allFinite(); }

struct Misfit {
    double largestBottle;
    Gauge gauge;
    template <class T> bool operator()(const T* x, T* residual) const
    {
        residual[0] = (resonanceAt(x, largestBottle, gauge.bottle) - gauge.fc) * gauge.weight;
        return isFinite(residual[0]);
    }
};

struct OpenAirMisfit {
    double fs, weight;
    template <class T> bool operator()(const T* x, T* residual) const
    {
        using std::exp;
        residual[0] = (exp(x[2]) - fs) * weight;
        return isFinite(residual[0]);
    }
};

std::string hertz(double f) { return formatQuantity(f, Dimension::frequency); }
std::string litres(double V, UnitSystem units) { return formatQuantity(V, Dimension::volume, units); }

struct Start {
    double volume = 0, push = 0;
};

// Straight-line start: (fc^2 - fs^2) V - push = bottle (fc^2 - fs^2), by least squares.
Start startOf(const Job& job)
{
    const auto n = Eigen::Index(job.readings.size());
    Eigen::MatrixX2d A(n, 2);
    Eigen::VectorXd b(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        const Gauge& r = job.readings[std::size_t(i)];
        const double rise = r.fc * r.fc - job.fs * job.fs;
        A.row(i) << rise, -1e5;  // push in 1e5 m3 Hz2, so that both columns are of one size
        b[i] = r.bottle * rise;
    }
    const Eigen::Vector2d x = A.colPivHouseholderQr().solve(b);
    return {x[0], 1e5 * x[1]};
}

// What uncertainty fc and the bottle's size leave of one reading, Hz.
double readingUncertainty(const BottlesMeasurement& bottles, const Gauge& r, const Start& at)
{
    const double fc = bottles.uncertainty.value_or(0.005 * r.fc);
    const double W = at.volume - r.bottle;
    const double slope = at.push / (2 * r.fc * W * W);
    return std::hypot(fc, slope * r.bottle * bottles.bottleUncertainty.value_or(0.01));
}

Parameters fitted(const Job& job, Parameters x)
{
    ceres::Problem problem;
    for (const Gauge& r : job.readings)
        problem.AddResidualBlock(new ceres::AutoDiffCostFunction<Misfit, 1, 3>(new Misfit{job.largestBottle, r}),
                                 nullptr, x.data());
    problem.AddResidualBlock(
        new ceres::AutoDiffCostFunction<OpenAirMisfit, 1, 3>(new OpenAirMisfit{job.fs, 1 / job.fsUncertainty}), nullptr,
        x.data());
    ceres::Solver::Options options;
    options.linear_solver_type = ceres::DENSE_QR;
    options.max_num_iterations = 100;
    options.function_tolerance = options.parameter_tolerance = 1e-14;
    options.logging_type = ceres::SILENT;
    ceres::Solver::Summary summary;
    ceres::Solve(options, &problem, &summary);
    if (!summary.IsSolutionUsable()) x[0] = std::nan("");
    return x;
}

using Row = Eigen::RowVector3d;

Row rowOf(const Parameters& x, double largestBottle, const Gauge& gauge)
{
    using Jet = ceres::Jet<double, 3>;
    const std::array<Jet, 3> jets{Jet(x[0], 0), Jet(x[1], 1), Jet(x[2], 2)};
    return (resonanceAt(jets.data(), largestBottle, gauge.bottle).v * gauge.weight).transpose();
}

// Inverse covariance of the parameters.
Eigen::Matrix3d informationOf(const Job& job, const Parameters& x)
{
    Eigen::Matrix3d information = Eigen::Matrix3d::Zero();
    for (const Gauge& r : job.readings) {
        const Row row = rowOf(x, job.largestBottle, r);
        information += row.transpose() * row;
    }
    information(2, 2) += std::pow(std::exp(x[2]) / job.fsUncertainty, 2);
    return information;
}

Eigen::Matrix3d covarianceOf(const Eigen::Matrix3d& information)
{
    return information.ldlt().solve(Eigen::Matrix3d::Identity());
}

double volumeUncertainty(const Eigen::Matrix3d& information, const Parameters& x)
{
    return std::exp(x[0]) * std::sqrt(covarianceOf(information)(0, 0));
}

// A bottle may take half of the cavity: more seldom goes in, and leaves the air in thin gaps.
constexpr double greatestShare = 0.5;
constexpr std::array usualBottles{1e-4, 2e-4, 2.5e-4, 3.3e-4, 5e-4, 7.5e-4, 1e-3, 1.5e-3, 2e-3, 3e-3, 5e-3, 1e-2};

double usualBottleNear(double volume)
{
    return *std::min_element(usualBottles.begin(), usualBottles.end(), [volume](double a, double b) {
        return std::abs(std::log(a / volume)) < std::abs(std::log(b / volume));
    });
}

struct Step {
    std::optional<double> bottle;  // absent: the driver in open air
    double uncertainty = 0;
};

// The one further measurement that would narrow the volume most.
Step bestStep(const BottlesMeasurement& bottles, const Job& job, const Parameters& x)
{
    const Eigen::Matrix3d now = informationOf(job, x);
    const double V = job.largestBottle + std::exp(x[0]);
    Step best{0.0, INFINITY};
    const auto tryBottle = [&](double size) {
        Gauge g{size, resonanceAt(x.data(), job.largestBottle, size), 0};
        g.weight = 1 / readingUncertainty(bottles, g, {V, std::exp(x[1])});
        const Row row = rowOf(x, job.largestBottle, g);
        const double u = volumeUncertainty(now + row.transpose() * row, x);
        if (u < best.uncertainty * 0.999) best = {size, u};
    };
    tryBottle(0);
    for (const double size : usualBottles)
        if (size <= greatestShare * V) tryBottle(size);
    if (!bottles.freeResonance) {
        Eigen::Matrix3d sharper = now;
        sharper(2, 2) += std::pow(1 / 0.005, 2);
        const double u = volumeUncertainty(sharper, x);
        if (u < best.uncertainty) best = {std::nullopt, u};
    }
    return best;
}

std::string namedBottle(double bottle, UnitSystem units)
{
    return bottle > 0 ? "with a bottle of " + litres(bottle, units) : std::string("without a bottle");
}

std::string contradiction(const BottlesMeasurement& bottles, const BottleFit& fit, UnitSystem units)
{
    std::size_t worst = 0;
    const auto off = [&](std::size_t i) { return bottles.readings[i].fc - fit.fitted[i]; };
    for (std::size_t i = 1; i < fit.fitted.size(); ++i)
        if (std::abs(off(i)) > std::abs(off(worst))) worst = i;
    return fmt::format("The readings contradict each other: {} the resonance lies {} {} the fit. Check that nothing "
                       "leaks and that no bottle gives way, and measure that one again.",
                       namedBottle(bottles.readings[worst].bottle, units), hertz(std::abs(off(worst))),
                       off(worst) > 0 ? "above" : "below");
}

constexpr double goodEnough = 0.02;  // 2 % of volume are 1 % of tuning

void adviseNext(BottleFit& fit, const BottlesMeasurement& bottles, const Job& job, const Parameters& x,
                UnitSystem units)
{
    const Step step = bestStep(bottles, job, x);
    const double plain = volumeUncertainty(informationOf(job, x), x);
    fit.nextUncertainty = step.uncertainty * fit.uncertainty / plain;
    if (fit.strain > 2) {
        fit.next = contradiction(bottles, fit, units);
        return;
    }
    if (fit.uncertainty < goodEnough * fit.volume) {
        fit.next = fmt::format("The volume is known to {:.1f}\u00A0%; another bottle would not change what is built.",
                               100 * fit.uncertainty / fit.volume);
        return;
    }
    const std::string gain = fmt::format("that would bring the uncertainty from {} down to about {}",
                                         litres(fit.uncertainty, units), litres(fit.nextUncertainty, units));
    if (step.uncertainty > 0.85 * plain) {
        fit.next = fmt::format("Another bottle would narrow little ({}). Read the resonances more finely, or measure "
                               "the cavity in another way as well.",
                               gain);
        return;
    }
    if (!step.bottle) {
        fit.next = fmt::format("Measure the driver's resonance in open air: {}.", gain);
        return;
    }
    fit.nextBottle = step.bottle;
    fit.next = fmt::format("Measure once more {}: {}.", namedBottle(*step.bottle, units), gain);
}

Result<Job> jobOf(const BottlesMeasurement& bottles, double fs, double fsUncertainty, UnitSystem units)
{
    if (!(fs > 0 && std::isfinite(fs)))
        return fail("free_resonance_hz", "the driver's resonance in open air must be above 0\u00A0Hz");
    if (bottles.uncertainty && !(*bottles.uncertainty > 0 && std::isfinite(*bottles.uncertainty)))
        return fail("uncertainty_hz", "the uncertainty of the resonances must be above 0\u00A0Hz; leave it out for "
                                      "0.5\u00A0%");
    Job job{{}, 0, fs, fsUncertainty};
    double smallestBottle = INFINITY;
    for (std::size_t i = 0; i < bottles.readings.size(); ++i) {
        const BottleReading& r = bottles.readings[i];
        if (!(r.bottle >= 0 && r.bottle <= 2))
            return fail(fmt::format("readings/{}/bottle_l", i),
                        fmt::format("a bottle of {} is out of range; allowed is 0 to {}", litres(r.bottle, units),
                                    litres(2, units)));
        if (!(r.fc > fs * (1 + 1e-6) && r.fc <= 1e5))
            return fail(fmt::format("readings/{}/fc_hz", i),
                        fmt::format("the closed resonance {} is {}, not above the driver's {} in open air; a closed "
                                    "cavity always raises it",
                                    namedBottle(r.bottle, units), hertz(r.fc), hertz(fs)));
        job.readings.push_back({r.bottle, r.fc, 0});
        job.largestBottle = std::max(job.largestBottle, r.bottle);
        smallestBottle = std::min(smallestBottle, r.bottle);
    }
    if (job.readings.size() < 2 || !(job.largestBottle - smallestBottle > 1e-3 * job.largestBottle))
        return fail("readings", "two readings with different bottles are needed at least; one may be without a bottle");
    return job;
}

}  // namespace

Result<BottleFit> fitBottles(const BottlesMeasurement& bottles, double driverFs, double driverUncertainty,
                             UnitSystem units)
{
    const bool own = bottles.freeResonance.has_value();
    const double fs = own ? *bottles.freeResonance : driverFs;
    const double fsUncertainty = own ? bottles.uncertainty.value_or(0.005 * fs) : driverUncertainty * fs;
    auto checked = jobOf(bottles, fs, fsUncertainty, units);
    if (!checked) return fail(checked.error());
    Job job = std::move(*checked);
    const auto noSpring = [] {
        return fail("readings", "these resonances belong to no air spring: with a larger bottle the resonance must "
                                "lie higher, and every bottle must be smaller than the cavity");
    };
    const Start start = startOf(job);
    if (!(start.push > 0 && start.volume > job.largestBottle * (1 + 1e-6) && start.volume < 100)) return noSpring();
    Start at = start;
    Parameters x{std::log(start.volume - job.largestBottle), std::log(start.push), std::log(fs)};
    for (int round = 0; round < 2; ++round) {  // the second weighs the bottles by the first one's slopes
        for (Gauge& r : job.readings)
            r.weight = 1 / readingUncertainty(bottles, r, at);
        x = fitted(job, x);
        at = {job.largestBottle + std::exp(x[0]), std::exp(x[1])};
        if (!(std::isfinite(at.volume) && at.volume < 100)) return noSpring();
    }
    BottleFit fit;
    fit.volume = at.volume;
    fit.fs = std::exp(x[2]);
    fit.springVolume = at.push / (fit.fs * fit.fs);
    double squares = 0, chi = std::pow((fit.fs - fs) / fsUncertainty, 2);
    for (const Gauge& r : job.readings) {
        fit.fitted.push_back(resonanceAt(x.data(), job.largestBottle, r.bottle));
        const double off = fit.fitted.back() - r.fc;
        squares += off * off, chi += std::pow(off * r.weight, 2);
    }
    const auto n = double(job.readings.size());
    fit.residual = std::sqrt(squares / n);
    fit.strain = n > 2 ? std::sqrt(chi / (n - 2)) : 0;
    const double wider = std::max(1.0, fit.strain);
    const Eigen::Matrix3d covariance = covarianceOf(informationOf(job, x));
    fit.uncertainty = wider * std::exp(x[0]) * std::sqrt(covariance(0, 0));
    const Eigen::Vector3d spring(0, 1, -2);  // ln spring = ln push - 2 ln fs
    fit.springUncertainty = wider * fit.springVolume * std::sqrt(spring.dot(covariance * spring));
    adviseNext(fit, bottles, job, x, units);
    return fit;
}

std::string nextBottleStep(const BottlesMeasurement& bottles, const CavityContext& context)
{
    if (bottles.readings.empty())
        return "Close every opening, sweep the driver with nothing inside, and note the frequency where its impedance "
               "is greatest.";
    const SpringGauge gauge = gaugeOf(context);
    if (bottles.readings.size() > 1) {
        const auto fit = fitBottles(bottles, gauge.fs, gauge.fsUncertainty, context.units);
        return fit ? fit->next : "The readings give no volume: " + fit.error().message + ".";
    }
    const double fc = bottles.readings[0].fc, fs = bottles.freeResonance.value_or(gauge.fs);
    if (!(fc > fs)) return "Note a resonance above the driver's own; a closed cavity always raises it.";
    const double guess = bottles.readings[0].bottle + closedVolume(fc, fs, gauge.spring);
    return fmt::format("By the driver's data the cavity holds about {}. Put a stiff, sealed bottle of about {} inside "
                       "and sweep again; its outside counts.",
                       litres(guess, context.units), litres(usualBottleNear(0.35 * guess), context.units));
}

Result<VolumeReading> readingOf(const BottlesMeasurement& bottles, const CavityContext& context)
{
    const SpringGauge gauge = gaugeOf(context);
    auto fit = fitBottles(bottles, gauge.fs, gauge.fsUncertainty, context.units);
    if (!fit) return fail(fit.error());
    VolumeReading reading;
    reading.volume = fit->volume;
    reading.uncertainty = fit->uncertainty;
    reading.inPlace = InPlace::everything;
    reading.method = fmt::format("{} resonances with bottles", bottles.readings.size());
    const double expected = gauge.spring;
    if (std::abs(fit->springVolume - expected) > 3 * std::hypot(fit->springUncertainty, 0.2 * expected))
        reading.remarks.push_back(fmt::format("These resonances ask for a Vas of {} in all, the driver's data give {}: "
                                              "check that the bottles are sealed and stiff.",
                                              litres(fit->springVolume, context.units),
                                              litres(expected, context.units)));
    reading.remarks.push_back(fit->next);
    return reading;
}

}  // namespace portwright
