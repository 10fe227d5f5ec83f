// SPDX-License-Identifier: GPL-3.0-or-later
// What the pages of measuring share: which cavity, which of its measurements, and what all of them come to.
#pragma once

#include "app/desktop/session/workbench.h"
#include "core/cavity/net_volume.h"

#include <QObject>

#include <functional>
#include <optional>

namespace portwright {

class MeasureDesk : public QObject {
    Q_OBJECT
public:
    explicit MeasureDesk(Workbench& workbench, QObject* parent = nullptr);

    Workbench& bench() const { return workbench_; }
    UnitSystem units() const { return workbench_.units(); }

    CavityId cavityId() const { return cavity_; }  ///< main where the housing has no second one
    void setCavity(CavityId cavity);
    Cavity* cavityIn(Project& project) const;  ///< of the chosen housing; null if there is none
    const Cavity* cavityIn(const Project& project) const { return cavityIn(const_cast<Project&>(project)); }
    const Cavity* cavity() const { return cavityIn(workbench_.document().shown()); }

    int current() const;  ///< of the chosen measurement; -1: there is none
    void choose(int measurement);
    Measurement* measurementIn(Project& project) const;
    const Measurement* measurementIn(const Project& project) const
    {
        return measurementIn(const_cast<Project&>(project));
    }
    const Measurement* measurement() const { return measurementIn(workbench_.document().shown()); }
    template <class Method> const Method* method() const
    {
        const Measurement* chosen = measurement();
        return chosen ? std::get_if<Method>(&chosen->method) : nullptr;
    }

    // Changes of the chosen measurement, each one undo step or a preview.
    using Change = std::function<void(Measurement&)>;
    void edit(const QString& step, const Change& change);
    void preview(const Change& change);
    void endPreview() { workbench_.document().endPreview(); }
    template <class Method> void editMethod(const QString& step, const std::function<void(Method&)>& change)
    {
        edit(step, [&](Measurement& m) {
            if (auto* method = std::get_if<Method>(&m.method)) change(*method);
        });
    }
    template <class Method> void previewMethod(const std::function<void(Method&)>& change)
    {
        preview([&](Measurement& m) {
            if (auto* method = std::get_if<Method>(&m.method)) change(*method);
        });
    }
    void editCavity(const QString& step, const std::function<void(Cavity&)>& change);

    void add(const Measurement& measurement);  ///< and chooses it
    void duplicate();
    void remove();
    void setUsed(int measurement, bool used);

    /// What the measurements of the shown cavity come to, as if no net volume were typed; computed by refresh().
    const Result<NetVolume>& fromMeasurements() const { return fromMeasurements_; }
    /// The volume in force: the typed one, or the above.
    const Result<NetVolume>& inForce() const { return inForce_; }
    /// What the measurements say singly, in order: also where they do not come to a volume together.
    const std::vector<VolumeReading>& readings() const { return readings_; }
    /// Driver, ports and air around the shown cavity; none of them where there is no housing or no whole driver.
    void inContext(const std::function<void(const CavityContext&)>& use) const;
    bool disagrees(int measurement) const;  ///< more than two standard uncertainties from the others
    void refresh();

signals:
    void chosenChanged();
    void refreshed();

private:
    Workbench& workbench_;
    CavityId cavity_ = CavityId::main;
    int current_ = 0;
    Result<NetVolume> fromMeasurements_{fail(Error{})}, inForce_{fail(Error{})};
    std::vector<VolumeReading> readings_;
};

/// "4.85 L ± 0.12 L"
QString volumeText(double volume, std::optional<double> uncertainty, UnitSystem units);

}  // namespace portwright
