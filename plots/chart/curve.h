// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

#include <optional>
#include <vector>

namespace portwright {

/// One housing's curve, finished: in the unit the chart shows. A value that is not finite is a gap.
struct Curve {
    int slot = 0;              ///< which housing: gives letter, colour and dash
    QString name;              ///< of the housing, for accessibility and tips
    std::vector<double> x, y;  ///< Hz rising; the shown unit. Empty: this housing has no such curve (readout "–")
    bool chosen = false;       ///< drawn 2 px wide, on top
    bool preview = false;      ///< dotted, without tag and readout
    bool judged = true;        ///< false: no limit is known for this housing, so it has no over-bar
    std::optional<double> ownLimit = {};         ///< its over-bar's limit, where it is not that of the drawn line
    std::vector<double> lower = {}, upper = {};  ///< band of one standard uncertainty over x; empty: none is drawn
    bool visible = true;  ///< hidden housings keep an outlined tag in the title strip, to bring them back
};

struct LimitLine {
    double value = 0;  ///< in the chart's unit
    QString words;     ///< "cone limit 4.0 mm"
    bool operator==(const LimitLine&) const = default;
};

/// Value at x, linear in log x between the points; NaN outside the curve, in a gap, and for an empty curve.
double valueAt(const Curve& curve, double x);

/// Half the height of its band at x; NaN where there is none.
double spreadAt(const Curve& curve, double x);

}  // namespace portwright
