// SPDX-License-Identifier: GPL-3.0-or-later
// What limits the output: the feed voltage at which cone travel, power, port air or the amplifier reach theirs.
#pragma once

#include "core/response/curves.h"

#include <string>

namespace portwright {

enum class LimitKind { none, cone, power, portAir, amplifier };

/// Words of the console's JSON: "none", "cone", "power", "port air", "amplifier".
std::string nameOf(LimitKind kind);

/// At one frequency each: the lowest feed voltage [V rms, before the high-pass] reaching a limit, infinite if not
/// judged, with what separation at the ports' ends takes at that voltage. The amplifier's limit concerns the voltage
/// after the high-pass.
struct LimitCurves {
    Eigen::ArrayXd coneVoltage, powerVoltage, portVoltage, amplifierVoltage;
    Eigen::ArrayXd loudest;        ///< dB at the rider at the lowest of them; +inf if nothing limits
    std::vector<LimitKind> limit;  ///< which one
};
LimitCurves limitsOf(const Model& model, const Curves& curves);

/// The lowest feed voltage [V rms, before the high-pass] at each of the curves' frequencies at which the cone travels
/// so far [m peak], each coil takes so much [W], or the air in one port (a row of Curves::portAir) is so fast [m/s
/// peak]. Infinite where none does.
Eigen::ArrayXd voltageForTravel(const Model& model, const Curves& curves, double travel);
Eigen::ArrayXd voltageForPower(const Model& model, const Curves& curves, double power);
Eigen::ArrayXd voltageForAir(const Model& model, const Curves& curves, std::size_t port, double speed);

/// Lowest high-pass corner [Hz] of the given order that keeps the cone within Xmax from 20 Hz up at the model's feed
/// voltage (any high-pass the model has is replaced). Absent: no Xmax, none needed, or none up to 1 kHz does it.
std::optional<double> lowestHighPassCorner(const Model& model, int order);

}  // namespace portwright
