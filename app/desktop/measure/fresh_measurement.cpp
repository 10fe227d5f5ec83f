// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/measure/fresh_measurement.h"

#include "core/cavity/reading.h"

#include <QCoreApplication>

namespace portwright {
namespace {

QString tr(const char* text) { return QCoreApplication::translate("Measure", text); }

}  // namespace

Measurement freshMeasurement(MeasurementKind kind)
{
    Measurement fresh;
    switch (kind) {
    case MeasurementKind::fill: {
        FillMeasurement fill;
        fill.volumes = {0};
        fresh.method = fill;
        break;
    }
    case MeasurementKind::sections: {
        SectionsMeasurement sections;
        sections.sections.resize(2);
        sections.sections[1].at = 0.1;
        fresh.method = sections;
        break;
    }
    case MeasurementKind::solids: {
        SolidsMeasurement solids;
        solids.steps.push_back({.name = tr("main body").toStdString(), .solid = BoxSolid{}});
        fresh.method = solids;
        break;
    }
    case MeasurementKind::scan:
        fresh.method = ScanMeasurement{};
        break;
    case MeasurementKind::resonance:
        fresh.method = ResonanceMeasurement{};
        break;
    case MeasurementKind::bottles: {
        BottlesMeasurement bottles;
        bottles.readings.emplace_back();
        fresh.method = bottles;
        break;
    }
    case MeasurementKind::stated:
        fresh.method = StatedVolume{};
        break;
    }
    return fresh;
}

QString methodName(MeasurementKind kind) { return QString::fromStdString(nameOf(freshMeasurement(kind))); }

QString methodHint(MeasurementKind kind)
{
    switch (kind) {
    case MeasurementKind::fill:
        return tr("Fill it with water or a dry fill, and weigh or measure what went in.");
    case MeasurementKind::sections:
        return tr("Width and height at several places along its length.");
    case MeasurementKind::solids:
        return tr("Boxes, wedges, cones and tubes, added and taken away.");
    case MeasurementKind::scan:
        return tr("A scanned mesh: STL, OBJ or PLY.");
    case MeasurementKind::resonance:
        return tr("The driver's resonance with every opening sealed.");
    case MeasurementKind::bottles:
        return tr("The same, with sealed bottles of known size inside.");
    case MeasurementKind::stated:
        return tr("A volume known in some other way.");
    }
    return {};
}

}  // namespace portwright
