// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/measure_desk.h"

#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/typing.h"
#include "core/quantity/ranged.h"

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

/// What is reckoned with where the driver is not whole yet: enough for every method but the resonances, which say so.
struct Surroundings {
    CompleteDriver driver;
    std::optional<Error> driverError;
    Air air;
};

Surroundings surroundingsOf(const Workbench& bench, const Project& project)
{
    Surroundings around{.driver = {}, .driverError = {}, .air = referenceAir()};
    if (const auto air = airAt(project.air.value_or(AirConditions{}))) around.air = *air;
    const DriverSheet* sheet = bench.driverIn(project);
    const Result<CompleteDriver> driver =
        sheet ? complete(*sheet) : fail({}, MeasureDesk::tr("there is no driver yet").toStdString());
    if (driver)
        around.driver = *driver;
    else
        around.driverError = driver.error();
    return around;
}

bool needsDriver(const Measurement& measurement)
{
    return std::holds_alternative<ResonanceMeasurement>(measurement.method) ||
           std::holds_alternative<BottlesMeasurement>(measurement.method);
}

/// How far a reading lies from the mean of the others, in standard uncertainties of that difference.
double distanceOf(const std::vector<VolumeReading>& readings, std::size_t one)
{
    double weight = 0, sum = 0;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const VolumeReading& r = readings[i];
        if (i == one || r.unused || !(r.uncertainty > 0) || r.inPlace != readings[one].inPlace) continue;
        weight += 1 / (r.uncertainty * r.uncertainty);
        sum += r.volume / (r.uncertainty * r.uncertainty);
    }
    if (!(weight > 0)) return 0;
    return std::abs(readings[one].volume - sum / weight) / std::hypot(readings[one].uncertainty, std::sqrt(1 / weight));
}

}  // namespace

QString volumeText(double volume, std::optional<double> uncertainty, UnitSystem units)
{
    return localSentence(uncertainty ? formatRanged(volume, *uncertainty, Dimension::volume, units)
                                     : formatQuantity(volume, Dimension::volume, units));
}

MeasureDesk::MeasureDesk(Workbench& workbench, QObject* parent) : QObject(parent), workbench_(workbench) {}

void MeasureDesk::setCavity(CavityId cavity)
{
    if (cavity == cavity_) return;
    commitTyping();
    cavity_ = cavity;
    current_ = 0;
    refresh();
    emit chosenChanged();
}

Cavity* MeasureDesk::cavityIn(Project& project) const
{
    const auto index = workbench_.chosenIn(project);
    if (!index) return nullptr;
    Housing& housing = project.housings[*index];
    return cavity_ == CavityId::second && housing.secondCavity ? &housing.secondCavity->cavity : &housing.cavity;
}

int MeasureDesk::current() const
{
    const Cavity* here = cavity();
    return here && !here->measurements.empty() ? std::clamp(current_, 0, int(here->measurements.size()) - 1) : -1;
}

void MeasureDesk::choose(int measurement)
{
    if (measurement == current_) return;
    commitTyping();
    current_ = measurement;
    emit chosenChanged();
}

Measurement* MeasureDesk::measurementIn(Project& project) const
{
    Cavity* here = cavityIn(project);
    if (!here || here->measurements.empty()) return nullptr;
    return &here->measurements[std::size_t(std::clamp(current_, 0, int(here->measurements.size()) - 1))];
}

void MeasureDesk::edit(const QString& step, const Change& change)
{
    workbench_.document().edit(step, [&](Project& project) {
        if (Measurement* chosen = measurementIn(project)) change(*chosen);
    });
}

void MeasureDesk::preview(const Change& change)
{
    workbench_.document().preview([&](Project& project) {
        if (Measurement* chosen = measurementIn(project)) change(*chosen);
    });
}

void MeasureDesk::editCavity(const QString& step, const std::function<void(Cavity&)>& change)
{
    commitTyping();
    workbench_.document().edit(step, [&](Project& project) {
        if (Cavity* here = cavityIn(project)) change(*here);
    });
}

void MeasureDesk::add(const Measurement& measurement)
{
    if (!cavity()) return;
    editCavity(tr("Add %1").arg(QString::fromStdString(nameOf(measurement))),
               [&](Cavity& here) { here.measurements.push_back(measurement); });
    current_ = int(cavity()->measurements.size()) - 1;
    refresh();
    emit chosenChanged();
}

void MeasureDesk::duplicate()
{
    const Measurement* chosen = measurement();
    if (!chosen) return;
    const int at = current();
    editCavity(tr("Duplicate Measurement"), [&](Cavity& here) {
        here.measurements.insert(here.measurements.begin() + at + 1, here.measurements[std::size_t(at)]);
    });
    current_ = at + 1;
    refresh();
    emit chosenChanged();
}

void MeasureDesk::remove()
{
    const int at = current();
    if (at < 0) return;
    editCavity(tr("Remove Measurement"),
               [&](Cavity& here) { here.measurements.erase(here.measurements.begin() + at); });
    current_ = std::max(0, at - 1);
    refresh();
    emit chosenChanged();
}

void MeasureDesk::setUsed(int measurement, bool used)
{
    editCavity(used ? tr("Use Measurement") : tr("Set Measurement Aside"), [&](Cavity& here) {
        if (std::size_t(measurement) < here.measurements.size())
            here.measurements[std::size_t(measurement)].unused = !used;
    });
}

void MeasureDesk::inContext(const std::function<void(const CavityContext&)>& use) const
{
    const Project& project = workbench_.document().shown();
    const auto index = workbench_.chosenIn(project);
    const Surroundings around = surroundingsOf(workbench_, project);
    if (!index || around.driverError) return;
    use({.housing = project.housings[*index],
         .driver = around.driver,
         .air = around.air,
         .cavity = cavity_,
         .units = units()});
}

bool MeasureDesk::disagrees(int measurement) const
{
    const auto at = std::size_t(measurement);
    if (at >= readings_.size() || readings_[at].unused || !(readings_[at].uncertainty > 0)) return false;
    return distanceOf(readings_, at) > 2;
}

void MeasureDesk::refresh()
{
    readings_.clear();
    fromMeasurements_ = inForce_ = fail({}, {});
    const Project& project = workbench_.document().shown();
    const Cavity* here = cavity();
    if (!here) return void(emit refreshed());
    const Surroundings around = surroundingsOf(workbench_, project);
    const Housing& housing = project.housings[*workbench_.chosenIn(project)];
    const CavityContext context{
        .housing = housing, .driver = around.driver, .air = around.air, .cavity = cavity_, .units = units()};
    Cavity measured = *here;
    for (Measurement& one : measured.measurements) {
        const bool blind = needsDriver(one) && around.driverError;
        const Result<VolumeReading> found =
            blind ? Result<VolumeReading>(fail(*around.driverError)) : readingOf(one, context);
        VolumeReading reading;
        if (found)
            reading = *found;
        else
            reading = {.inPlace = one.inPlace.value_or(InPlace::nothing), .error = found.error()};
        reading.unused = one.unused || !found;
        readings_.push_back(std::move(reading));
        if (blind) one.unused = true;
    }
    inForce_ = netVolumeOf(measured, context);
    measured.netVolume = 0;
    measured.netUncertainty.reset();
    fromMeasurements_ = netVolumeOf(measured, context);
    emit refreshed();
}

}  // namespace portwright
