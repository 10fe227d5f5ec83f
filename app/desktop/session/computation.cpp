// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/computation.h"

#include <QElapsedTimer>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace portwright {
namespace {

HousingInputs inputsOf(const Project& project, std::size_t index, UnitSystem units)
{
    const Housing& housing = project.housings[index];
    const DriverSheet* driver = findDriver(project, housing.driver);
    return {.housing = housing,
            .driver = driver ? *driver : DriverSheet{},
            .feed = feedOf(project, housing),
            .air = project.air.value_or(AirConditions{}),
            .place = project.place.value_or(Place{}),
            .limits = project.limits.value_or(LimitSettings{}),
            .units = units};
}

const Grid& grid()
{
    static const Grid shared = logGrid(computedFrom, computedTo, computedPoints);
    return shared;
}

}  // namespace

Result<std::shared_ptr<const Computed>> compute(const Project& project, std::size_t housingIndex, UnitSystem units)
{
    auto model = modelOf(project, housingIndex);
    if (!model) return fail(model.error());
    HousingInputs inputs = inputsOf(project, housingIndex, units);
    model->driver.findings = findingsOf(inputs.driver, model->driver, units);
    auto curves = curvesOf(*model, grid());
    if (!curves) return fail(curves.error());
    auto summary = summaryOf(*model);
    if (!summary) return fail(summary.error());
    LimitCurves limits = limitsOf(*model, *curves);
    std::vector<Verdict> verdicts = verdictsOf(*model, *curves, *summary, units);
    return std::make_shared<const Computed>(Computed{std::move(inputs), std::move(*model), std::move(*curves),
                                                     std::move(*summary), std::move(limits), std::move(verdicts)});
}

std::optional<AtCursor> valuesAt(const Computed& computed, double frequency)
{
    const auto curves = curvesOf(computed.model, gridOf(Eigen::ArrayXd::Constant(1, frequency)));
    if (!curves) return {};
    AtCursor at{.level = curves->level[0],
                .coneTravel = curves->coneTravel[0],
                .impedance = curves->impedance[0],
                .portAir = {},
                .portAirMost = std::numeric_limits<double>::quiet_NaN(),
                .loudest = 0,
                .limit = {}};
    for (const Eigen::ArrayXd& air : curves->portAir)
        at.portAir.push_back(air[0]);
    if (!at.portAir.empty()) at.portAirMost = *std::max_element(at.portAir.begin(), at.portAir.end());
    const LimitCurves limits = limitsOf(computed.model, *curves);
    at.loudest = limits.loudest[0];
    at.limit = limits.limit[0];
    return at;
}

Computation::Computation(Document& document, QObject* parent) : QObject(parent), document_(document)
{
    later_.setSingleShot(true);
    later_.setInterval(0);
    connect(&later_, &QTimer::timeout, this, [this] {
        bring();
        emit updated();
    });
    rangesLater_.setSingleShot(true);
    connect(&rangesLater_, &QTimer::timeout, this, [this] {
        if (dirty_) return;  // bring() starts it anew
        if (reckonOneRange())
            rangesLater_.start(0);  // the window may work between two housings
        else
            tellRanges();
    });
    connect(&document_, &Document::shownChanged, this, [this] {
        dirty_ = true;
        later_.start();
    });
    connect(&document_, &Document::replaced, this, [this] { hidden_.clear(); });
}

const std::vector<HousingResult>& Computation::results()
{
    bring();
    return results_;
}

const HousingResult* Computation::find(const std::string& id)
{
    bring();
    const auto found =
        std::find_if(results_.begin(), results_.end(), [&](const HousingResult& r) { return r.id == id; });
    return found == results_.end() ? nullptr : &*found;
}

void Computation::bring()
{
    if (!dirty_) return;
    dirty_ = false;
    ++passes_;
    QElapsedTimer clock;
    clock.start();
    const std::vector<HousingResult> former = std::move(results_);
    results_.clear();
    const Project& project = document_.shown();
    for (std::size_t i = 0; i < project.housings.size(); ++i) {
        const Housing& housing = project.housings[i];
        HousingResult result{.slot = int(i),
                             .id = housing.id,
                             .name = QString::fromStdString(housing.name),
                             .visible = !hidden(housing.id),
                             .computed = nullptr,
                             .error = {}};
        const auto old =
            std::find_if(former.begin(), former.end(), [&](const HousingResult& r) { return r.id == housing.id; });
        if (old != former.end() && old->computed && old->computed->inputs == inputsOf(project, i, units_)) {
            result.computed = old->computed;
            result.uncertainty = old->uncertainty;
            result.rangesReckoned = old->rangesReckoned;
        } else if (auto computed = compute(project, i, units_)) {
            result.computed = std::move(*computed);
            ++runs_;
        } else {
            result.error = std::move(computed.error());
        }
        results_.push_back(std::move(result));
    }
    milliseconds_ = double(clock.nsecsElapsed()) / 1e6;
    constexpr int pause = 150;  // ms: while a value moves, nobody reads a range
    rangesLater_.start(pause);
}

bool Computation::reckonOneRange()
{
    for (HousingResult& result : results_) {
        if (!result.computed || result.rangesReckoned) continue;
        result.rangesReckoned = true;
        auto u = uncertaintyOf(document_.shown(), std::size_t(result.slot), grid());
        if (u && !u->inputs.empty()) {
            result.uncertainty = std::make_shared<const Uncertainty>(std::move(*u));
            rangesNew_ = true;
        }
        return true;
    }
    return false;
}

void Computation::reckonRanges()
{
    bring();
    rangesLater_.stop();
    while (reckonOneRange()) {
    }
    tellRanges();
}

void Computation::tellRanges()
{
    if (std::exchange(rangesNew_, false)) emit rangesReady();
}

void Computation::setUnits(UnitSystem units)
{
    if (units == units_) return;
    units_ = units;
    dirty_ = true;
    later_.start();
}

void Computation::setHidden(const std::string& id, bool hide)
{
    const QString key = QString::fromStdString(id);
    if (hide == hidden_.contains(key)) return;
    if (hide)
        hidden_.insert(key);
    else
        hidden_.remove(key);
    for (HousingResult& result : results_)
        if (result.id == id) result.visible = !hide;
    emit updated();
}

void Computation::showAll()
{
    hidden_.clear();
    for (HousingResult& result : results_)
        result.visible = true;
    emit updated();
}

}  // namespace portwright
