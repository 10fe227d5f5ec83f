// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/axis.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace portwright {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double largest = 1e12;  ///< values beyond this say nothing that a picture could show

bool usable(const AxisRange& r) { return std::isfinite(r.lower) && std::isfinite(r.upper) && r.upper > r.lower; }

/// Smallest of 1, 2, 2.5, 5 times a power of ten that is at least `step`.
double niceStep(double step)
{
    const double decade = std::pow(10.0, std::floor(std::log10(step)));
    for (const double m : {1.0, 2.0, 2.5, 5.0})
        if (m * decade >= step * (1 - 1e-9)) return m * decade;
    return 10 * decade;
}

double stepFor(const AxisRange& range, int most)
{
    return niceStep((range.upper - range.lower) / std::max(most - 1, 1));
}

/// Highest finite value of the visible curves inside the shown frequencies; NaN if there is none.
double highest(const std::vector<Curve>& curves, const AxisRange& shown)
{
    double top = nan;
    for (const Curve& c : curves) {
        if (!c.visible) continue;
        for (std::size_t i = 0; i < std::min(c.x.size(), c.y.size()); ++i)
            if (c.x[i] >= shown.lower && c.x[i] <= shown.upper && std::isfinite(c.y[i]) && !(c.y[i] <= top))
                top = std::clamp(c.y[i], -largest, largest);
    }
    return top;
}

AxisRange fromZeroTo(double top)
{
    const AxisRange wanted{0, std::max(top, 1e-6)};
    const double step = stepFor(wanted, 6);
    return {0, step * std::ceil(wanted.upper / step - 1e-9)};
}

/// x where the straight line in log x between two points passes `level`.
double crossing(double x0, double y0, double x1, double y1, double level)
{
    const double t = (level - y0) / (y1 - y0);
    return std::exp(std::log(x0) + t * (std::log(x1) - std::log(x0)));
}

// Linear in log x between the points; NaN outside and in gaps.
double interpolated(const std::vector<double>& xs, const std::vector<double>& ys, double x)
{
    const std::size_t n = std::min(xs.size(), ys.size());
    if (n == 0 || !(x > 0)) return nan;
    const auto end = xs.begin() + std::ptrdiff_t(n);
    const auto right = std::lower_bound(xs.begin(), end, x);
    if (right == end) return nan;
    const std::size_t i = std::size_t(right - xs.begin());
    if (xs[i] == x) return ys[i];
    if (i == 0 || !(xs[i - 1] > 0)) return nan;
    const double t = std::log(x / xs[i - 1]) / std::log(xs[i] / xs[i - 1]);
    return ys[i - 1] + t * (ys[i] - ys[i - 1]);
}

}  // namespace

double valueAt(const Curve& curve, double x) { return interpolated(curve.x, curve.y, x); }

double spreadAt(const Curve& curve, double x)
{
    return (interpolated(curve.x, curve.upper, x) - interpolated(curve.x, curve.lower, x)) / 2;
}

std::vector<double> frequencyTicks(const AxisRange& range)
{
    std::vector<double> ticks;
    if (!usable(range) || !(range.lower > 0)) return ticks;
    const double decades = std::log10(range.upper / range.lower);
    const std::vector<double> steps = decades > 3.5   ? std::vector<double>{1}
                                      : decades > 1.2 ? std::vector<double>{1, 2, 5}
                                                      : std::vector<double>{1, 1.5, 2, 2.5, 3, 4, 5, 6, 8};
    const int last = int(std::ceil(std::log10(range.upper)));
    for (int e = int(std::floor(std::log10(range.lower))); e <= last; ++e)
        for (const double k : steps)
            if (const double tick = k * std::pow(10.0, e);
                tick >= range.lower * (1 - 1e-9) && tick <= range.upper * (1 + 1e-9))
                ticks.push_back(tick);
    return ticks.size() >= 2 ? ticks : valueTicks(range, 5);
}

std::vector<double> frequencySubTicks(const AxisRange& range)
{
    std::vector<double> ticks;
    if (!usable(range) || !(range.lower > 0) || std::log10(range.upper / range.lower) > 8) return ticks;
    const int last = int(std::ceil(std::log10(range.upper)));
    for (int e = int(std::floor(std::log10(range.lower))); e <= last; ++e)
        for (int k = 1; k < 10; ++k)
            if (const double tick = k * std::pow(10.0, e); tick >= range.lower && tick <= range.upper)
                ticks.push_back(tick);
    return ticks;
}

QString frequencyTickLabel(double hertz, const QLocale& locale)
{
    QLocale plain = locale;
    plain.setNumberOptions(QLocale::OmitGroupSeparator);
    if (hertz >= 1000) return plain.toString(hertz / 1000, 'g', 4) + u'k';
    return plain.toString(hertz, 'g', 4);
}

std::vector<double> valueTicks(const AxisRange& range, int most)
{
    std::vector<double> ticks;
    if (!usable(range)) return ticks;
    const double step = stepFor(range, std::max(most, 2));
    if (!std::isfinite(step) || !(step > 0)) return ticks;
    const double first = std::ceil(range.lower / step - 1e-9);
    for (double n = first; n * step <= range.upper + 1e-9 * step && ticks.size() < 100; n += 1)
        ticks.push_back(n == 0 ? 0.0 : n * step);
    return ticks;
}

QString valueTickLabel(double value, const std::vector<double>& ticks, const QLocale& locale)
{
    QLocale plain = locale;
    plain.setNumberOptions(QLocale::OmitGroupSeparator);
    double top = std::abs(value), step = ticks.size() > 1 ? std::abs(ticks[1] - ticks[0]) : 1;
    for (const double t : ticks)
        top = std::max(top, std::abs(t));
    double unit = 1;
    QString suffix;
    for (const auto& [size, letter] : {std::pair{1e9, "G"}, std::pair{1e6, "M"}, std::pair{1e3, "k"}})
        if (top >= 10 * size && unit == 1) unit = size, suffix = QString::fromLatin1(letter);
    step /= unit;
    int decimals = 0;
    while (decimals < 6 && std::abs(step * std::pow(10, decimals) - std::round(step * std::pow(10, decimals))) > 1e-6)
        ++decimals;
    QString text = plain.toString(std::abs(value) / unit, 'f', decimals);
    if (value < 0) text.prepend(QChar(0x2212));
    return value == 0 ? text : text + suffix;
}

QString readoutText(double value, const QLocale& locale)
{
    if (!std::isfinite(value) || std::abs(value) >= 1e9) return QString(QChar(0x2013));
    QLocale plain = locale;
    if (std::abs(value) < 10000) plain.setNumberOptions(QLocale::OmitGroupSeparator);
    const QString text = plain.toString(std::abs(value), 'f', 1);
    const bool zero = std::round(std::abs(value) * 10) == 0;
    return value < 0 && !zero ? QChar(0x2212) + text : text;
}

AxisRange fittedRange(RangePolicy policy, const std::vector<Curve>& curves, const std::optional<LimitLine>& limit,
                      const AxisRange& shown)
{
    const double top = highest(curves, shown);
    const bool limited = limit && std::isfinite(limit->value) && limit->value > 0 && limit->value < largest;
    switch (policy) {
    case RangePolicy::levelWindow50dB: {
        const double upper = std::isfinite(top) ? std::floor(top / 10) * 10 + 10 : 110;
        return {upper - 50, upper};
    }
    case RangePolicy::travelTwiceLimit:
        if (limited) return fromZeroTo(2 * limit->value);
        break;
    case RangePolicy::airTwiceLimit:
        return fromZeroTo(limited ? 1.75 * limit->value : 30.0);
    case RangePolicy::fromZero:
        break;
    }
    return fromZeroTo(std::isfinite(top) && top > 0 ? 1.05 * top : 1.0);
}

AxisRange keptRange(RangePolicy policy, const AxisRange& current, const std::vector<Curve>& curves,
                    const std::optional<LimitLine>& limit, const AxisRange& shown)
{
    const AxisRange fitted = fittedRange(policy, curves, limit, shown);
    if (!usable(current)) return fitted;
    const double top = highest(curves, shown);
    if (!std::isfinite(top)) return current;
    if (policy == RangePolicy::levelWindow50dB) {
        for (const Curve& c : curves)
            if (const double own = highest({c}, shown); own < current.lower)
                return fitted;  // one of them has left below altogether
        return top > current.upper ? fitted : current;
    }
    if (policy == RangePolicy::airTwiceLimit || (policy == RangePolicy::travelTwiceLimit && limit))
        return fitted;  // these follow the limit, never the curves: over-bars tell what leaves
    const bool flat = top < 0.1 * current.upper;  // too low to be read at all
    return top > current.upper || flat ? fitted : current;
}

AxisRange clampedFrequency(AxisRange range)
{
    const double narrowest = std::pow(2.0, 0.1);
    if (!std::isfinite(range.lower) || !std::isfinite(range.upper)) return {20, 1000};
    if (range.lower > range.upper) std::swap(range.lower, range.upper);
    range.lower = std::clamp(range.lower, frequencyBounds.lower, frequencyBounds.upper / narrowest);
    range.upper = std::clamp(range.upper, range.lower * narrowest, frequencyBounds.upper);
    return range;
}

AxisRange zoomed(const AxisRange& range, double centre, double factor, bool logarithmic)
{
    if (logarithmic)
        return {centre * std::pow(range.lower / centre, factor), centre * std::pow(range.upper / centre, factor)};
    return {centre + (range.lower - centre) * factor, centre + (range.upper - centre) * factor};
}

std::vector<AxisRange> pastLimit(const Curve& curve, double limit)
{
    std::vector<AxisRange> spans;
    const std::size_t n = std::min(curve.x.size(), curve.y.size());
    bool inside = false;
    for (std::size_t i = 0; i < n; ++i) {
        const bool known = std::isfinite(curve.y[i]) && curve.x[i] > 0;
        const bool before = i > 0 && std::isfinite(curve.y[i - 1]) && curve.x[i - 1] > 0;
        const bool past = known && curve.y[i] > limit;
        if (past && !inside) {
            const double from =
                before ? crossing(curve.x[i - 1], curve.y[i - 1], curve.x[i], curve.y[i], limit) : curve.x[i];
            spans.push_back({from, curve.x[i]});
        } else if (!past && inside) {
            spans.back().upper =
                known ? crossing(curve.x[i - 1], curve.y[i - 1], curve.x[i], curve.y[i], limit) : curve.x[i - 1];
        }
        if (past) spans.back().upper = curve.x[i];
        inside = past;
    }
    return spans;
}

std::vector<AxisRange> pastItsLimit(const Curve& curve, const std::optional<LimitLine>& line)
{
    if (!curve.judged || !(curve.ownLimit || line)) return {};
    return pastLimit(curve, curve.ownLimit ? *curve.ownLimit : line->value);
}

std::vector<double> pushedApart(const std::vector<double>& wanted, double height, double lower, double upper)
{
    std::vector<std::size_t> order(wanted.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return wanted[a] < wanted[b]; });

    // Least squares with fixed gaps: pool neighbours that violate their order (isotonic regression on wanted - i h).
    struct Pool {
        double sum;
        int count;
    };
    std::vector<Pool> pools;
    for (std::size_t i = 0; i < order.size(); ++i) {
        pools.push_back({wanted[order[i]] - double(i) * height, 1});
        while (pools.size() > 1 &&
               pools[pools.size() - 2].sum / pools[pools.size() - 2].count > pools.back().sum / pools.back().count) {
            const Pool last = pools.back();
            pools.pop_back();
            pools.back().sum += last.sum, pools.back().count += last.count;
        }
    }
    const double lowest = lower + height / 2;
    const double highestStart =
        std::max(lowest, upper - height / 2 - height * double(std::max<std::size_t>(wanted.size(), 1) - 1));
    std::vector<double> centres(wanted.size());
    std::size_t i = 0;
    for (const Pool& pool : pools)
        for (int k = 0; k < pool.count; ++k, ++i)
            centres[order[i]] = std::clamp(pool.sum / pool.count, lowest, highestStart) + double(i) * height;
    return centres;
}

}  // namespace portwright
