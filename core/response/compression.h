// SPDX-License-Identifier: GPL-3.0-or-later
// What ports give up as they play louder: separation at their ends takes from the level what proportion would give.
#pragma once

#include "core/port/air_speed.h"
#include "core/response/curves.h"

#include <array>
#include <span>

namespace portwright {

/// Level lost against the linear extrapolation from a small signal, dB: above 0 the port gives up level, below 0 (where
/// it works against the cone) the whole gains by it. One row for each feed voltage, as asked, over the grid.
struct Compression {
    Eigen::ArrayXd frequency;          ///< Hz
    std::vector<double> voltage;       ///< V rms, before the high-pass
    std::vector<Eigen::ArrayXd> loss;  ///< dB
};
/// Errors as solve(); a voltage below 0 is refused.
Result<Compression> compressionOf(const Model& model, const Grid& grid, std::span<const double> voltages);

/// The frequency from 20 Hz to 2 kHz at which the feed in force loses most to its ports, and how much. Absent at 0 V,
/// without a port that separates, and where nothing is lost.
struct CompressionPeak {
    double frequency, loss;  ///< Hz, dB > 0
};
std::optional<CompressionPeak> compressionPeak(const Model& model);

/// Tuning at the feed in force [Hz]: where the air load on the drivers turns from mass to spring, as loadResonance(),
/// with what separation takes there. It falls as the feed rises, f^2 = f0^2 - (R/(2 pi M))^2 for one port of mass M and
/// resistance R. Absent for a closed housing, and where so much is lost that no mass is left.
std::optional<double> tuningAtFeed(const Model& model);

/// A housing at one feed and frequency.
struct AtDrive {
    double voltage = 0;            ///< V rms, before the high-pass
    double level = 0;              ///< dB at the rider
    double loss = 0;               ///< dB, as in Compression
    double airSpeed = 0;           ///< m/s peak in the port
    double coneTravel = 0;         ///< m peak
    std::optional<double> tuning;  ///< Hz, as tuningAtFeed()
};

/// One port where its air is fastest at the feed in force, 20 Hz to 2 kHz, and there at half and double the drive.
struct PortAtDrives {
    int opening = 0;  ///< index in Housing::openings
    double frequency = 0;
    double K = 0;                  ///< loss coefficient of its ends, 0 with a given loss
    AirSpeedNumbers numbers;       ///< at the feed in force
    std::array<AtDrive, 3> drive;  ///< half, as fed, double
};
/// All ports of a housing in file order; none at 0 V. Errors as solve().
Result<std::vector<PortAtDrives>> portsAtDrives(const Model& model);

}  // namespace portwright
