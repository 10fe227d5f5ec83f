// SPDX-License-Identifier: GPL-3.0-or-later
// Labels of points that may lie close together. Free of any widget.
#pragma once

#include <QLineF>
#include <QRectF>

#include <optional>
#include <vector>

namespace portwright {

/// A mark in the picture and the size of its label, px.
struct MarkToLabel {
    QPointF at;
    QSizeF label;
};

struct PlacedLabel {
    QRectF box;
    QLineF leader;  ///< from the mark's rim to the label; null where the label stands beside its mark
    bool operator==(const PlacedLabel&) const = default;
};

/// A place for each label, the earlier ones first: inside `allowed`, clear of all marks (circles of radius `mark`), of
/// `taken`, each other and of each other's leaders, no leader through another mark unless that one overlaps its own,
/// and where it has none clearly nearest to its own mark. Near before far, away from the neighbours before among them.
/// Nothing where there is none within ten radii: that label is better shown when its point is pointed at.
std::vector<std::optional<PlacedLabel>> placedLabels(const std::vector<MarkToLabel>& marks, const QRectF& allowed,
                                                     double mark, const std::vector<QRectF>& taken = {});

}  // namespace portwright
