// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/cavity/measurement.h"
#include "core/document/describe_measurement.h"

#include <QString>

namespace portwright {

/// A measurement just begun, with nothing measured yet, or with a place to start from where a table needs rows.
Measurement freshMeasurement(MeasurementKind kind);
QString methodName(MeasurementKind kind);
QString methodHint(MeasurementKind kind);  ///< what it takes, in a sentence
inline MeasurementKind kindOf(const Measurement& measurement) { return MeasurementKind(measurement.method.index()); }

}  // namespace portwright
