// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/document/describe_measurement.h"
#include "core/housing/measurement.h"

#include <QString>

namespace portwright {

/// A measurement just begun: its tables have rows to type into, of zeros, which give no volume yet.
Measurement freshMeasurement(MeasurementKind kind);
QString methodName(MeasurementKind kind);
QString methodHint(MeasurementKind kind);  ///< what it takes, in a sentence
inline MeasurementKind kindOf(const Measurement& measurement) { return MeasurementKind(measurement.method.index()); }

}  // namespace portwright
