// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/trimming.h"

#include "core/quantity/ranged.h"
#include "core/response/impedance_dip.h"
#include "core/sizing/port_in_model.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;

double square(double x) { return x * x; }

// What is not known of the real thing: ln of the volume's factor, the length beyond the mouths [m], and by how many of
// its uncertainties the distance of dip and tuning is off.
struct Calibration {
    Vector3d x = Vector3d::Zero();
    Matrix3d weight, covariance;  // one the inverse of the other
};

Cut cutOf(double length, const Vector3d& x) { return {length, std::exp(x[0]), x[1]}; }

std::optional<double> dipAt(const TrimmedPort& port, const Cut& cut, double tuning)
{
    return port.dip.dip ? port.dip.dip(cut, tuning) : std::nullopt;
}

// Standard uncertainty of ln(dip/tuning) at a length, see TrimOptions; where no dip is, nothing.
double dipUncertainty(const TrimmedPort& port, double length, const TrimOptions& o)
{
    const Cut cut{length, 1, 0};
    const auto tuning = port.cut.tuning(cut);
    const auto dip = tuning ? dipAt(port, cut, *tuning) : std::nullopt;
    if (!dip) return 0;
    const double whole = std::log(*dip / *tuning);
    const double losses = std::log(port.dip.withoutCoil(cut, *tuning).value_or(*tuning) / *tuning);
    return std::hypot(o.dipShare * (whole - losses), o.dipShare * losses, o.dipLeast);
}

// ln of what is read at a length, or nothing; without what a dip is off by.
std::optional<double> logShown(const TrimmedPort& port, double length, const Vector3d& x, ReadAs readAs)
{
    const Cut cut = cutOf(length, x);
    const auto tuning = port.cut.tuning(cut);
    if (!tuning || !(*tuning > 0)) return std::nullopt;
    if (readAs == ReadAs::tuning) return std::log(*tuning);
    const auto dip = dipAt(port, cut, *tuning);
    return dip ? std::optional(std::log(*dip)) : std::nullopt;
}

// The same with what it is off by, and its derivatives by x.
struct Linear {
    double value = 0;
    Vector3d slope = Vector3d::Zero();
};
std::optional<Linear> linearAt(const TrimmedPort& port, double length, const Vector3d& x, ReadAs readAs,
                               const TrimOptions& o)
{
    const auto value = logShown(port, length, x, readAs);
    if (!value) return std::nullopt;
    const double off = readAs == ReadAs::impedanceDip ? dipUncertainty(port, length, o) : 0;
    Linear l{*value + off * x[2], {0, 0, off}};
    const double steps[] = {1e-4, 1e-3 * o.endUncertainty};
    for (int i = 0; i < 2; ++i) {
        Vector3d up = x, down = x;
        up[i] += steps[i], down[i] -= steps[i];
        const auto a = logShown(port, length, up, readAs), b = logShown(port, length, down, readAs);
        if (!a || !b) return std::nullopt;
        l.slope[i] = (*a - *b) / (2 * steps[i]);
    }
    return l;
}

double shareOf(const CutReading& r, const TrimOptions& o)
{
    return r.uncertainty > 0 ? r.uncertainty / r.frequency : o.readingUncertainty;
}

// Gauss-Newton on the readings' residuals and those of the prior.
std::optional<Calibration> calibrated(const TrimmedPort& port, const std::vector<CutReading>& readings,
                                      const TrimOptions& o)
{
    Calibration c;
    const Matrix3d prior =
        Vector3d(1 / square(o.volumeUncertainty), 1 / square(o.endUncertainty), 1).asDiagonal().toDenseMatrix();
    for (int round = 0; round < 8; ++round) {
        c.weight = prior;
        Vector3d right = -prior * c.x;
        for (const CutReading& r : readings) {
            const auto l = linearAt(port, r.length, c.x, r.readAs, o);
            if (!l) return std::nullopt;
            const double w = 1 / square(shareOf(r, o));
            c.weight += w * l->slope * l->slope.transpose();
            right += w * (std::log(r.frequency) - l->value) * l->slope;
        }
        c.covariance = c.weight.inverse();
        const Vector3d step = c.covariance * right;
        c.x += step;
        if (step.cwiseAbs().maxCoeff() < 1e-9) break;
    }
    return c;
}

// The same port with the calibration in.
TuningOfCut with(const TuningOfCut& cut, const Vector3d& x)
{
    TuningOfCut changed = cut;
    changed.tuning = [tuning = cut.tuning, x](const Cut& c) {
        return tuning({c.length, c.volume * std::exp(x[0]), c.end + x[1]});
    };
    return changed;
}

// The wanted length, and what one unit of x makes of it [m].
struct Target {
    SizedPort port;
    Vector3d slope;
    double uncertainty(const Calibration& c) const { return std::sqrt(slope.dot(c.covariance * slope)); }  // m
};

Result<Target> targetOf(const TrimmedPort& trimmed, double target, const Calibration& c, const TrimOptions& o)
{
    const auto port = lengthFor(target, with(trimmed.cut, c.x));
    if (!port) return fail(port.error());
    const auto l = linearAt(trimmed, port->length, c.x, ReadAs::tuning, o);
    if (!l || !(port->tuningPerLength < 0))
        return fail("target", "around that length the tuning no longer falls with it; the port takes too much of the "
                              "cavity. Use a narrower bore");
    return Target{*port, l->slope * (port->tuning / port->tuningPerLength)};
}

// What is read at a length, how well that is known before it is read.
struct Expected {
    double value = 0, uncertainty = 0;  // Hz
    Vector3d slope;
};
std::optional<Expected> expectedAt(const TrimmedPort& port, double length, ReadAs readAs, const Calibration& c,
                                   const TrimOptions& o)
{
    const auto l = linearAt(port, length, c.x, readAs, o);
    if (!l) return std::nullopt;
    const double value = std::exp(l->value);
    return Expected{value, value * std::sqrt(l->slope.dot(c.covariance * l->slope)), l->slope};
}

std::string noDipAt(double length)
{
    return fmt::format("with {} the impedance of this housing has no dip between two peaks to be read; find the tuning "
                       "itself, where the cone moves least at constant voltage, and enter it as such",
                       formatQuantity(length, Dimension::length));
}

Result<void> checkReadings(const TrimmedPort& port, double target, const std::vector<CutReading>& readings,
                           const TrimOptions& o)
{
    if (!(target > 0) || !std::isfinite(target)) return fail("target", "a tuning must be above 0 Hz");
    if (readings.empty()) return fail("readings", "no measured tuning is given; at least one is needed");
    for (const CutReading& r : readings) {
        if (!(r.frequency > 0) || !std::isfinite(r.frequency) || !(r.uncertainty >= 0) || !std::isfinite(r.uncertainty))
            return fail("readings", "a measured tuning must be above 0 Hz, its uncertainty 0 Hz or more");
        if (const auto at = tuningAt(r.length, port.cut); !at) return fail(at.error());
        const auto shown = logShown(port, r.length, Vector3d::Zero(), r.readAs);
        if (!shown) return fail("readings", noDipAt(r.length));
        // Three standard uncertainties of the volume, which goes in by its root, and never less than a fifth.
        const double expected = std::exp(*shown), absurd = 1 + std::max(0.2, 1.5 * o.volumeUncertainty);
        if (r.frequency > expected * absurd || r.frequency < expected / absurd)
            return fail("readings",
                        fmt::format("{} was measured where {} is expected with {}; check port, volume and reading",
                                    formatQuantity(r.frequency, Dimension::frequency),
                                    formatQuantity(expected, Dimension::frequency),
                                    formatQuantity(r.length, Dimension::length)));
    }
    return {};
}

// Each reading by itself as a tuning.
std::vector<ReadTuning> asTunings(const TrimmedPort& port, const std::vector<CutReading>& readings,
                                  const Calibration& c, const TrimOptions& o)
{
    std::vector<ReadTuning> tunings;
    for (const CutReading& r : readings) {
        double ratio = 1, off = 0;
        if (r.readAs == ReadAs::impedanceDip) {
            const auto tuning = logShown(port, r.length, c.x, ReadAs::tuning);
            const auto dip = logShown(port, r.length, c.x, ReadAs::impedanceDip);
            off = dipUncertainty(port, r.length, o);
            if (tuning && dip) ratio = std::exp(*tuning - *dip - off * c.x[2]);
            off *= std::sqrt(c.covariance(2, 2));
        }
        const double tuning = r.frequency * ratio;
        tunings.push_back({tuning, tuning * std::hypot(shareOf(r, o), off), r.readAs});
    }
    return tunings;
}

// The reading that model and all others make the least likely, if it is by more than four standard uncertainties: one
// right reading in sixteen thousand is so far off by chance.
std::optional<ReadingDoubt> doubtOf(const TrimmedPort& port, const std::vector<CutReading>& readings,
                                    const TrimOptions& o)
{
    std::optional<ReadingDoubt> worst;
    double most = 4;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        std::vector<CutReading> others = readings;
        others.erase(others.begin() + std::ptrdiff_t(i));
        const CutReading& r = readings[i];
        const auto c = calibrated(port, others, o);
        const auto expected = c ? expectedAt(port, r.length, r.readAs, *c, o) : std::nullopt;
        if (!expected) continue;
        const double share = std::hypot(shareOf(r, o), expected->uncertainty / expected->value);
        const double off = std::abs(std::log(r.frequency / expected->value)) / share;
        if (off <= most) continue;
        most = off;
        worst = ReadingDoubt{i, r.length, r.frequency, expected->value, expected->value * share};
    }
    return worst;
}

bool anyIs(ReadAs readAs, const std::vector<ReadTuning>& readings)
{
    return std::any_of(readings.begin(), readings.end(), [&](const ReadTuning& r) { return r.readAs == readAs; });
}

// Stage after stage: cut to the bound, and read what is expected, which leaves the calibration as it is but surer.
void addStages(TrimPlan& plan, const TrimmedPort& port, double target, double now, const Target& wanted, Calibration c,
               const TrimOptions& o)
{
    const bool dips = anyIs(ReadAs::impedanceDip, plan.readings);
    for (int i = 0; i < o.mostStages; ++i) {
        const double safe = wanted.port.length + o.safety * wanted.uncertainty(c) + o.cutTolerance;
        if (now - safe < 2 * o.cutTolerance) return;
        const auto tuning = expectedAt(port, safe, ReadAs::tuning, c, o);
        if (!tuning) return;
        const auto dip = dips ? expectedAt(port, safe, ReadAs::impedanceDip, c, o) : std::nullopt;
        const Expected& shown = dip ? *dip : *tuning;
        plan.stages.push_back({now - safe, safe, tuning->value, tuning->uncertainty, shown.value, shown.uncertainty,
                               dip ? ReadAs::impedanceDip : ReadAs::tuning});
        now = safe;
        if (std::abs(tuning->value / target - 1) <= o.wantedWithin) return;
        c.weight += shown.slope * shown.slope.transpose() / square(o.readingUncertainty);
        c.covariance = c.weight.inverse();
    }
}

}  // namespace

DipOfCut dipOfCut(const Model& model, int opening)
{
    const auto dipIn = [opening](const Model& given) {
        return [given, opening, space = spaceOf(given, opening)](const Cut& cut, double tuning) {
            const auto& port = std::get<PortOpening>(given.housing.openings[std::size_t(opening)].kind);
            Housing housing = withPort(given, opening, space, cutTo(port, cut.length)).housing;
            cavityOf(housing, opening).netVolume *= cut.volume;
            std::get<PortOpening>(housing.openings[std::size_t(opening)].kind).length += cut.end;
            return impedanceDip(withHousing(given, housing), tuning);
        };
    };
    Model withoutCoil = model;
    withoutCoil.driver.driver.inductance = PlainInductance{0};
    return {dipIn(model), dipIn(withoutCoil)};
}

std::vector<CutReading> cutReadings(const PortOpening& port)
{
    std::vector<CutReading> swept;
    for (const PortReading& r : port.readings)
        if (r.frequency != 0)
            swept.push_back({r.length, r.frequency, r.uncertainty.value_or(0), r.readAs.value_or(ReadAs::tuning)});
    return swept;
}

TrimOptions trimOptions(const PortOpening& port, double volumeUncertainty)
{
    TrimOptions o;
    o.volumeUncertainty = volumeUncertainty;
    o.endUncertainty = 0.1 * radiusOf(port);
    return o;
}

Result<TrimPlan> trimPlan(const TrimmedPort& port, double target, const std::vector<CutReading>& readings,
                          const TrimOptions& options)
{
    TrimOptions o = options;
    if (!(o.endUncertainty > 0)) o.endUncertainty = 2e-3;
    if (auto ok = checkReadings(port, target, readings, o); !ok) return fail(ok.error());
    const auto c = calibrated(port, readings, o);
    if (!c) return fail("readings", "no port of the model fits these readings; check lengths and tunings");
    const double now = readings.back().length;
    TrimPlan plan;
    plan.volume = std::exp(c->x[0]);
    plan.end = c->x[1];
    plan.readings = asTunings(port, readings, *c, o);
    const auto present = tuningAt(now, with(port.cut, c->x));
    if (!present) return fail(present.error());
    plan.tuning = present->tuning;
    plan.tuningPerLength = present->tuningPerLength;
    if (const auto known = expectedAt(port, now, ReadAs::tuning, *c, o)) plan.tuningUncertainty = known->uncertainty;
    const auto wanted = targetOf(port, target, *c, o);
    if (!wanted) return fail(wanted.error());
    plan.length = wanted->port.length;
    plan.uncertainty = wanted->uncertainty(*c);
    plan.takeOff = now - plan.length;
    plan.safety = o.safety;
    plan.doubt = doubtOf(port, readings, o);
    if (plan.doubt && readings.size() > 1) {
        plan.state = TrimPlan::State::doubtful;
        return plan;
    }
    addStages(plan, port, target, now, *wanted, *c, o);
    if (std::abs(plan.tuning / target - 1) <= o.wantedWithin)
        plan.state = TrimPlan::State::reached;
    else if (plan.takeOff < 0)
        plan.state = TrimPlan::State::tooShort;
    else
        plan.state = plan.stages.empty() ? TrimPlan::State::measureBetter : TrimPlan::State::cut;
    return plan;
}

namespace {

// Not rounded to the uncertainty: the cuts that follow are reckoned with these figures.
struct Figures {
    UnitSystem units;
    std::string length(double x) const { return formatQuantity(x, Dimension::length, units); }
    std::string length(double x, double u) const
    {
        return formatNumber(x, Dimension::length, units) + " \u00B1 " + length(u);
    }
    std::string hertz(double f) const { return formatQuantity(f, Dimension::frequency, units); }
    std::string hertz(double f, double u) const { return formatRanged(f, u, Dimension::frequency, units); }
};

std::string expectedWords(const TrimStage& s, const Figures& f)
{
    if (s.readAs == ReadAs::impedanceDip)
        return fmt::format("the impedance should then dip at {}, which is a tuning of {}",
                           f.hertz(s.shown, s.shownUncertainty), f.hertz(s.tuning));
    return fmt::format("{} is to be expected", f.hertz(s.tuning, s.tuningUncertainty));
}

// What all cuts take, those that can be foreseen, and what is left.
std::string cutsWords(const TrimPlan& p, const Figures& f)
{
    const double left = p.stages.back().length - p.length;
    const std::string all = f.length(p.takeOff, p.uncertainty);
    const std::string then =
        fmt::format("What is left after that, {}, follows from the reading taken then", f.length(left));
    if (p.stages.size() == 1)
        return fmt::format("In all {} are to come off; this cut stops short of that by {:.0f} times its uncertainty, "
                           "so that it does not go too far. {}.",
                           all, p.safety, then);
    return fmt::format("In all {} are to come off: {} of that in {} cuts, as far as can be foreseen, each of which "
                       "stops short by {:.0f} times its uncertainty, so that none goes too far. {}.",
                       all, f.length(p.takeOff - left), p.stages.size(), p.safety, then);
}

std::string doubtWords(const TrimPlan& p, const Figures& f)
{
    const std::string expected = f.hertz(p.doubt->expected, p.doubt->uncertainty);
    if (p.readings.size() == 1)
        return fmt::format("The reading is far from the {} that the housing as entered would show: check its net "
                           "volume, the port and the sweep before cutting.",
                           expected);
    return fmt::format("The readings contradict each other: by the others and the housing as entered, the one at {} "
                       "would be {}, and {} was read.",
                       f.length(p.doubt->length), expected, f.hertz(p.doubt->read));
}

}  // namespace

std::vector<std::string> trimWords(const TrimPlan& p, double target, UnitSystem units)
{
    const Figures f{units};
    const std::string now = fmt::format("At {} the port tunes to {}, all readings together",
                                        f.length(p.length + p.takeOff), f.hertz(p.tuning, p.tuningUncertainty));
    const std::string wanted = fmt::format("{}; {} is wanted.", now, f.hertz(target));
    switch (p.state) {
    case TrimPlan::State::doubtful:
        return {doubtWords(p, f) + " Check which port it is, its length and both sweeps, and take a wrong reading out; "
                                   "cut nothing until they agree."};
    case TrimPlan::State::reached:
        return {fmt::format("{}, which is {} as near as asked for. Leave it.", now, f.hertz(target))};
    case TrimPlan::State::tooShort:
        return {wanted,
                fmt::format("It is {} too short. Lengthen it by a ring or an inner flare, or leave the higher tuning.",
                            f.length(-p.takeOff, p.uncertainty))};
    case TrimPlan::State::measureBetter: {
        const std::string more = fmt::format("To cut it would take {} more off, which is less than the readings can "
                                             "tell for sure:",
                                             f.length(p.takeOff, p.uncertainty));
        if (!anyIs(ReadAs::tuning, p.readings))
            return {wanted, more + " before anything more is cut, find the tuning itself, where the cone moves least "
                                   "at constant voltage, and enter it beside the dip."};
        return {wanted, more + " measure again, finer and at low level, before anything more is cut."};
    }
    case TrimPlan::State::cut:
        break;
    }
    const TrimStage& first = p.stages.front();
    std::vector<std::string> words{wanted,
                                   fmt::format("Cut off {} now, to {}, and measure again: {}.", f.length(first.takeOff),
                                               f.length(first.length), expectedWords(first, f)),
                                   cutsWords(p, f)};
    if (p.doubt) words.push_back(doubtWords(p, f));
    return words;
}

}  // namespace portwright
