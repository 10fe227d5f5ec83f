// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/trimming.h"

#include "core/quantity/ranged.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

using Eigen::Matrix2d;
using Eigen::Vector2d;

double square(double x) { return x * x; }

// What is not known of the real thing: ln of the volume's factor, and the length beyond the mouths [m].
struct Calibration {
    Vector2d x = Vector2d::Zero();
    Matrix2d covariance;
};

// ln of the tuning at a length, or nothing.
std::optional<double> logTuning(const TuningOfCut& cut, double length, const Vector2d& x)
{
    const auto f = cut.tuning({length, std::exp(x[0]), x[1]});
    return f && *f > 0 ? std::optional(std::log(*f)) : std::nullopt;
}

// ln f and its derivatives by x.
struct Linear {
    double value = 0;
    Vector2d slope = Vector2d::Zero();
};
std::optional<Linear> linearAt(const TuningOfCut& cut, double length, const Vector2d& x, double endScale)
{
    const auto value = logTuning(cut, length, x);
    if (!value) return std::nullopt;
    Linear l{*value, {}};
    const Vector2d steps(1e-4, 1e-3 * endScale);
    for (int i = 0; i < 2; ++i) {
        Vector2d up = x, down = x;
        up[i] += steps[i], down[i] -= steps[i];
        const auto a = logTuning(cut, length, up), b = logTuning(cut, length, down);
        if (!a || !b) return std::nullopt;
        l.slope[i] = (*a - *b) / (2 * steps[i]);
    }
    return l;
}

double shareOf(const CutReading& r, const TrimOptions& o)
{
    return r.uncertainty > 0 ? r.uncertainty / r.tuning : o.readingUncertainty;
}

// Gauss-Newton on the readings' residuals and those of the prior.
std::optional<Calibration> calibrated(const TuningOfCut& cut, const std::vector<CutReading>& readings,
                                      const TrimOptions& o)
{
    Calibration c;
    const Matrix2d prior =
        Vector2d(1 / square(o.volumeUncertainty), 1 / square(o.endUncertainty)).asDiagonal().toDenseMatrix();
    for (int round = 0; round < 8; ++round) {
        Matrix2d weight = prior;
        Vector2d right = -prior * c.x;
        for (const CutReading& r : readings) {
            const auto l = linearAt(cut, r.length, c.x, o.endUncertainty);
            if (!l) return std::nullopt;
            const double w = 1 / square(shareOf(r, o));
            weight += w * l->slope * l->slope.transpose();
            right += w * (std::log(r.tuning) - l->value) * l->slope;
        }
        const Vector2d step = weight.ldlt().solve(right);
        c.x += step;
        c.covariance = weight.inverse();
        if (std::abs(step[0]) < 1e-10 && std::abs(step[1]) < 1e-10) break;
    }
    return c;
}

// The same port with the calibration in.
TuningOfCut with(const TuningOfCut& cut, const Vector2d& x)
{
    TuningOfCut changed = cut;
    changed.tuning = [tuning = cut.tuning, x](const Cut& c) {
        return tuning({c.length, c.volume * std::exp(x[0]), c.end + x[1]});
    };
    return changed;
}

struct Target {
    SizedPort port;
    double uncertainty = 0;  // m, standard
};

Result<Target> targetOf(const TuningOfCut& cut, double target, const Calibration& c, const TrimOptions& o)
{
    const auto port = lengthFor(target, with(cut, c.x));
    if (!port) return fail(port.error());
    const auto l = linearAt(cut, port->length, c.x, o.endUncertainty);
    if (!l || !(port->tuningPerLength < 0))
        return fail("target", "around that length the tuning no longer falls with it; the port takes too much of the "
                              "cavity. Use a narrower bore");
    const Vector2d dL = l->slope * (port->tuning / port->tuningPerLength);  // of the length, by x, sign left out
    return Target{*port, std::sqrt(dL.dot(c.covariance * dL))};
}

// What a cut to that length will show, and how well that is known before the sweep.
TrimStage stageAt(const TuningOfCut& cut, double from, double length, const Calibration& c, const TrimOptions& o)
{
    TrimStage stage{from - length, length, 0, 0};
    if (const auto l = linearAt(cut, length, c.x, o.endUncertainty)) {
        stage.tuning = std::exp(l->value);
        stage.tuningUncertainty = stage.tuning * std::sqrt(l->slope.dot(c.covariance * l->slope));
    }
    return stage;
}

Result<void> checkReadings(double target, const std::vector<CutReading>& readings, const TuningOfCut& cut,
                           const TrimOptions& o)
{
    if (!(target > 0) || !std::isfinite(target)) return fail("target", "a tuning must be above 0 Hz");
    if (readings.empty()) return fail("readings", "no measured tuning is given; at least one is needed");
    for (const CutReading& r : readings) {
        if (!(r.tuning > 0) || !std::isfinite(r.tuning) || !(r.uncertainty >= 0) || !std::isfinite(r.uncertainty))
            return fail("readings", "a measured tuning must be above 0 Hz, its uncertainty 0 Hz or more");
        const auto at = tuningAt(r.length, cut);
        if (!at) return fail(at.error());
        // Three standard uncertainties of the volume, which goes in by its root, and never less than a fifth.
        const double absurd = 1 + std::max(0.2, 1.5 * o.volumeUncertainty);
        if (r.tuning > at->tuning * absurd || r.tuning < at->tuning / absurd)
            return fail("readings",
                        fmt::format("{} was measured where {} is expected with {}; check port, volume and reading",
                                    formatQuantity(r.tuning, Dimension::frequency),
                                    formatQuantity(at->tuning, Dimension::frequency),
                                    formatQuantity(r.length, Dimension::length)));
    }
    return {};
}

// Stage after stage: cut to the bound, read what the calibration expects, fit again.
void addStages(TrimPlan& plan, const TuningOfCut& cut, double target, std::vector<CutReading> readings,
               const Calibration& first, const TrimOptions& o)
{
    Calibration c = first;
    double now = readings.back().length;
    for (int i = 0; i < o.mostStages; ++i) {
        const auto wanted = targetOf(cut, target, c, o);
        if (!wanted) return;
        const double safe = wanted->port.length + o.safety * wanted->uncertainty + o.cutTolerance;
        if (now - safe < 2 * o.cutTolerance) return;
        plan.stages.push_back(stageAt(cut, now, safe, c, o));
        now = safe;
        if (std::abs(plan.stages.back().tuning / target - 1) <= o.wantedWithin) return;
        readings.push_back({safe, plan.stages.back().tuning, 0});
        const auto next = calibrated(cut, readings, o);
        if (!next) return;
        c = *next;
    }
}

}  // namespace

std::vector<CutReading> cutReadings(const PortOpening& port)
{
    std::vector<CutReading> swept;
    for (const PortReading& r : port.readings)
        if (r.frequency != 0) swept.push_back({r.length, r.frequency, r.uncertainty.value_or(0)});
    return swept;
}

TrimOptions trimOptions(const PortOpening& port, double volumeUncertainty)
{
    TrimOptions o;
    o.volumeUncertainty = volumeUncertainty;
    o.endUncertainty = 0.1 * radiusOf(port);
    return o;
}

Result<TrimPlan> trimPlan(const TuningOfCut& cut, double target, const std::vector<CutReading>& readings,
                          const TrimOptions& options)
{
    TrimOptions o = options;
    if (!(o.endUncertainty > 0)) o.endUncertainty = 2e-3;
    if (auto ok = checkReadings(target, readings, cut, o); !ok) return fail(ok.error());
    const auto c = calibrated(cut, readings, o);
    if (!c) return fail("readings", "no port of the model fits these readings; check lengths and tunings");
    const double now = readings.back().length;
    TrimPlan plan;
    plan.volume = std::exp(c->x[0]);
    plan.end = c->x[1];
    const auto present = tuningAt(now, with(cut, c->x));
    if (!present) return fail(present.error());
    plan.tuning = present->tuning;
    plan.tuningPerLength = present->tuningPerLength;
    const auto wanted = targetOf(cut, target, *c, o);
    if (!wanted) return fail(wanted.error());
    plan.length = wanted->port.length;
    plan.uncertainty = wanted->uncertainty;
    plan.takeOff = now - plan.length;
    plan.safety = o.safety;
    addStages(plan, cut, target, readings, *c, o);
    if (std::abs(plan.tuning / target - 1) <= o.wantedWithin)
        plan.state = TrimPlan::State::reached;
    else if (plan.takeOff < 0)
        plan.state = TrimPlan::State::tooShort;
    else
        plan.state = plan.stages.empty() ? TrimPlan::State::measureBetter : TrimPlan::State::cut;
    return plan;
}

std::vector<std::string> trimWords(const TrimPlan& p, double target, UnitSystem units)
{
    const auto length = [&](double x) { return formatQuantity(x, Dimension::length, units); };
    // Not rounded to the uncertainty: the cuts that follow are reckoned with these figures.
    const auto ranged = [&](double x, double u) {
        return formatNumber(x, Dimension::length, units) + " \u00B1 " + length(u);
    };
    const auto hertz = [&](double f) { return formatQuantity(f, Dimension::frequency, units); };
    const std::string now =
        fmt::format("At {} the port tunes to {}, all readings together", length(p.length + p.takeOff), hertz(p.tuning));
    const std::string wanted = fmt::format("{}; {} is wanted.", now, hertz(target));
    switch (p.state) {
    case TrimPlan::State::reached:
        return {fmt::format("{}, which is {} as near as asked for. Leave it.", now, hertz(target))};
    case TrimPlan::State::tooShort:
        return {wanted,
                fmt::format("It is {} too short. Lengthen it by a ring or an inner flare, or leave the higher tuning.",
                            ranged(-p.takeOff, p.uncertainty))};
    case TrimPlan::State::measureBetter:
        return {wanted,
                fmt::format("To cut it would take {} more off, which is less than the readings can tell for sure: "
                            "measure again, finer and at low level, before anything more is cut.",
                            ranged(p.takeOff, p.uncertainty))};
    case TrimPlan::State::cut:
        break;
    }
    const TrimStage& first = p.stages.front();
    const std::size_t more = p.stages.size() - 1;
    std::vector<std::string> words{wanted};
    words.push_back(fmt::format("Cut off {} now, to {}, and measure again: {} is to be expected.",
                                length(first.takeOff), length(first.length),
                                formatRanged(first.tuning, first.tuningUncertainty, Dimension::frequency, units)));
    words.push_back(fmt::format(
        "In all {} are to come off{}; each cut stops short of that by {:.0f} times its uncertainty, so that none goes "
        "too far. What is left after the last of them follows from the reading taken then.",
        ranged(p.takeOff, p.uncertainty),
        more == 0 ? "" : fmt::format(", in about {} more {} after this one", more, more == 1 ? "cut" : "cuts"),
        p.safety));
    return words;
}

}  // namespace portwright
