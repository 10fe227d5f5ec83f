// SPDX-License-Identifier: GPL-3.0-or-later
// What the painted parts of a chart share. Internal to plots.
#pragma once

#include "plots/chart/axis.h"
#include "plots/plot_palette.h"

#include <QFont>
#include <QLocale>
#include <QStringList>

#include <cmath>
#include <limits>

namespace portwright {

struct ChartState {
    QString title, unit;
    std::vector<Curve> curves;
    std::optional<LimitLine> limit;
    QStringList remarks;
    PlotPalette palette = lightPalette();
    AxisRange frequency{20, 1000}, value{0, 1};
    double cursor = std::numeric_limits<double>::quiet_NaN();  ///< Hz; not finite: no cursor and no readouts
    double readoutFrequency = 0;
    std::vector<std::pair<int, double>> readouts;  ///< exact, at readoutFrequency
    QFont font;
    QLocale locale;
    std::optional<double> tuning;  ///< Hz, a mark on the axis that can be dragged
    int tuningSlot = 0;
    bool focused = false, exporting = false;

    double em() const { return font.pixelSize() / 12.0; }  ///< px for one px of the drawings, made at 12 px
    QFont sized(double factor, int weight = QFont::Normal) const
    {
        QFont f = font;
        f.setPixelSize(std::max(int(std::lround(font.pixelSize() * factor)), 1));
        f.setWeight(QFont::Weight(weight));
        return f;
    }
    double readout(const Curve& curve) const
    {
        if (std::abs(cursor - readoutFrequency) <= 1e-9 * cursor)
            for (const auto& [slot, value_] : readouts)
                if (slot == curve.slot) return value_;
        return valueAt(curve, cursor);
    }
};

/// `share` of one colour over another, opaque (0..1).
inline QColor blended(const QColor& over, const QColor& under, double share)
{
    const auto mix = [share](double a, double b) { return float(share * a + (1 - share) * b); };
    return QColor::fromRgbF(mix(over.redF(), under.redF()), mix(over.greenF(), under.greenF()),
                            mix(over.blueF(), under.blueF()));
}

}  // namespace portwright
