// SPDX-License-Identifier: GPL-3.0-or-later
// The feed: radio voltage, high-pass, amplifier rating, source resistance and parts in series with the drivers.
#pragma once

#include "core/constants.h"

#include <complex>
#include <optional>
#include <variant>
#include <vector>

namespace portwright {

struct SeriesCapacitor {
    double C = 0;  ///< F
    bool operator==(const SeriesCapacitor&) const = default;
};
struct SeriesCoil {
    double L = 0;                      ///< H
    std::optional<double> resistance;  ///< ohm
    bool operator==(const SeriesCoil&) const = default;
};
struct SeriesResistor {
    double R = 0;  ///< ohm
    bool operator==(const SeriesResistor&) const = default;
};
struct SeriesPart {
    std::variant<SeriesCapacitor, SeriesCoil, SeriesResistor> part;
    UnknownKeys unknown;
    bool operator==(const SeriesPart&) const = default;
};

struct HighPass {
    int order = 4;      ///< 1..8, Butterworth
    double corner = 0;  ///< Hz
    UnknownKeys unknown;
    bool operator==(const HighPass&) const = default;
};

struct AmplifierRating {
    double power = 0;      ///< W
    double impedance = 0;  ///< ohm
    UnknownKeys unknown;
    bool operator==(const AmplifierRating&) const = default;
};

/// Feed as given: either a voltage, or a power into a load (V = sqrt(P R)). Neither: 2.83 V.
struct Feed {
    std::optional<double> voltage;           ///< V rms, 0..500
    std::optional<double> power, into;       ///< W, ohm
    std::optional<double> sourceResistance;  ///< amplifier output and cable, ohm, default 0
    std::vector<SeriesPart> seriesParts;
    std::optional<HighPass> highPass;
    std::optional<AmplifierRating> amplifier;
    UnknownKeys unknown;
    bool operator==(const Feed&) const = default;
};

double feedVoltage(const Feed& feed);                    ///< V rms before the high-pass
double amplifierVoltage(const AmplifierRating& rating);  ///< sqrt(W R), V rms

/// Butterworth high-pass at w [rad/s] and its derivative with respect to w.
struct FilterAt {
    std::complex<double> H, dH;
};
FilterAt highPassAt(const HighPass& filter, double omega);

}  // namespace portwright
