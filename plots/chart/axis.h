// SPDX-License-Identifier: GPL-3.0-or-later
// Tick, range, tag and over-bar arithmetic of the charts, free of any widget.
#pragma once

#include "plots/chart/curve.h"

#include <QLocale>
#include <QString>

#include <optional>
#include <vector>

namespace portwright {

struct AxisRange {
    double lower = 0, upper = 1;
    bool operator==(const AxisRange&) const = default;
};

inline constexpr AxisRange frequencyBounds{1.0, 100e3};  ///< Hz, no zoom or drag leaves them

/// Labelled ticks of a frequency axis: 1-2-5 a decade (only 1 over 3.5 decades; finer under 1.2), and the rest of 1..9.
std::vector<double> frequencyTicks(const AxisRange& range);
std::vector<double> frequencySubTicks(const AxisRange& range);
QString frequencyTickLabel(double hertz, const QLocale& locale);  ///< "20", "1k", "1.5k"

/// Labelled ticks of a value axis: 1, 2, 2.5 or 5 times a power of ten apart, at most `most` of them (at least 2).
std::vector<double> valueTicks(const AxisRange& range, int most);
QString valueTickLabel(double value, const std::vector<double>& ticks, const QLocale& locale);

/// One decimal, U+2212 minus, "–" if not finite: the readouts of all four charts.
QString readoutText(double value, const QLocale& locale);

enum class RangePolicy {
    levelWindow50dB,   ///< 50 dB in tens, the highest curve in the top fifth
    travelTwiceLimit,  ///< 0 to twice the limit, in whole steps; without a limit like fromZero
    airTwiceLimit,  ///< 0 to a whole step above 1.75 times the limit (30 m/s, 100 ft/s at the usual one), else 0 to 30
    fromZero        ///< 0 to a round number above the highest curve
};

/// The range a chart takes when it is fitted. `shown`: the frequencies on view.
AxisRange fittedRange(RangePolicy policy, const std::vector<Curve>& curves, const std::optional<LimitLine>& limit,
                      const AxisRange& shown);

/// Whether the picture still holds the curves well enough to stand still (see look: ranges move only when a curve
/// leaves). Travel and air may leave upwards: their over-bars tell. `current` is returned or replaced by the fitted
/// range.
AxisRange keptRange(RangePolicy policy, const AxisRange& current, const std::vector<Curve>& curves,
                    const std::optional<LimitLine>& limit, const AxisRange& shown);

AxisRange clampedFrequency(AxisRange range);  ///< inside frequencyBounds, lower < upper, at least 1/10 octave wide
AxisRange zoomed(const AxisRange& range, double centre, double factor, bool logarithmic);

/// Where a curve is past a limit: from..to in Hz, crossings interpolated. Openings at the ends of the data stay there.
std::vector<AxisRange> pastLimit(const Curve& curve, double limit);
/// The same against the limit that concerns the curve: its own, or the line's; none if it is not judged.
std::vector<AxisRange> pastItsLimit(const Curve& curve, const std::optional<LimitLine>& line);

/// Centres of tags of one height, moved as little as possible until none overlaps and all lie in lower..upper
/// (if there is room). Order of the result is that of the input.
std::vector<double> pushedApart(const std::vector<double>& wanted, double height, double lower, double upper);

}  // namespace portwright
