// SPDX-License-Identifier: GPL-3.0-or-later
// Where a driver and a volume stand among the classical alignments of vented boxes: what volume would be wanted, and
// what the one there is costs. Lumped box with a leak, no inductance: filter theory of Thiele, Proc. IRE Australia 22
// (1961) 487, and Small, JAES 21 (1973) 363 (pages from memory; formulae re-derived).
#pragma once

#include "core/response/model.h"

#include <optional>
#include <string>
#include <vector>

namespace portwright {

/// Quasi-Butterworth of third order, Butterworth, and Chebyshev (equal ripple) of fourth.
enum class Alignment { QB3, B4, C4 };
std::string nameOf(Alignment alignment);  ///< "QB3" ...

/// A vented box as ratios: alpha = Vas/Vb, h = fb/fs, leak quality QL (infinite: none).
struct VentedRatios {
    double Qt = 0, alpha = 0, h = 0, QL = 0;
};

/// What it does, frequencies over fs, relative to its own level at high frequency.
struct VentedFigures {
    double f3 = 0;      ///< lowest frequency above which it never falls more than half the power
    double ripple = 0;  ///< dB that it rises above, 0 if nowhere
    double sag = 0;     ///< dB of the deepest dip above f3, 0 if there is none
};
VentedFigures figuresOf(const VentedRatios& box);

/// The box of a classical alignment for a driver's Qt and a leak.
struct AlignedBox {
    Alignment alignment = Alignment::B4;
    VentedRatios box;
    VentedFigures figures;
};

/// QB3 below the Qt of B4 (0.383 without leak), C4 above. Nothing where no volume above 0 gives one: Qt too high for
/// that leak (past 0.7 or so), or below 0.1.
std::optional<AlignedBox> alignedBox(double Qt, double QL);

/// One tuning of the actual volume.
struct TunedVolume {
    std::optional<double> tuning;  ///< Hz; absent: without a port
    double f3 = 0;                 ///< Hz
    double ripple = 0;             ///< dB
};

struct AlignmentPlace {
    double Qt = 0;                     ///< with the resistance in series
    double QL = 0;                     ///< of the housing's leak; its default 7 where it has none (Small 1973)
    bool assumedLeak = false;          ///< QL is that default
    double volume = 0, alpha = 0;      ///< the actual one, m3 net, and Vas/Vb with its fill
    std::optional<AlignedBox> wanted;  ///< the alignment of this Qt
    double wantedVolume = 0;           ///< m3 net at the same fill
    TunedVolume aligned;               ///< that box
    TunedVolume best;         ///< the actual volume, tuned for the lowest f3 with hardly more ripple than need be
    bool bestSealed = false;  ///< the lowest tuning tried, half of fs, would be best: a port gains nothing there, and
                              ///< best is the housing without its ports (summaryOf), without a tuning
    std::optional<TunedVolume> now;  ///< the housing as it is, tuning, f3 and hump of its summary; absent where it has
                                     ///< no tuning or no f3
};

/// The place of a model's drivers in its main cavity.
AlignmentPlace alignmentPlace(const Model& model);

/// The place in words, one to three sentences.
std::vector<std::string> alignmentWords(const AlignmentPlace& place, UnitSystem units = UnitSystem::metric);

}  // namespace portwright
