// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/scatter_labels.h"

#include <QPolygonF>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace portwright {
namespace {

constexpr int directions = 16;
constexpr std::array gaps{0.6, 1.8, 3.2, 5.0, 7.2, 10.0};  // radii between a mark's rim and its label
constexpr double clearly = 1.4;                            // times as far from others as from its own mark
constexpr double besideBelow = 1.0;                        // radii: closer needs no leader

double lengthOf(const QPointF& v) { return std::hypot(v.x(), v.y()); }

double fromLine(const QPointF& p, const QLineF& line)
{
    const QPointF along = line.p2() - line.p1(), to = p - line.p1();
    const double square = QPointF::dotProduct(along, along);
    const double t = square > 0 ? std::clamp(QPointF::dotProduct(to, along) / square, 0.0, 1.0) : 0;
    return lengthOf(to - t * along);
}

bool crosses(const QLineF& line, const QRectF& box)
{
    if (line.isNull()) return false;
    if (box.contains(line.p1()) || box.contains(line.p2())) return true;
    const QPolygonF edges(box);
    for (int i = 0; i + 1 < edges.size(); ++i)
        if (line.intersects(QLineF(edges[i], edges[i + 1]), nullptr) == QLineF::BoundedIntersection) return true;
    return false;
}

double fromBox(const QRectF& box, const QPointF& p)
{
    return lengthOf(QPointF(std::clamp(p.x(), box.left(), box.right()), std::clamp(p.y(), box.top(), box.bottom())) -
                    p);
}

bool touches(const QRectF& box, const QPointF& centre, double radius) { return fromBox(box, centre) < radius; }

/// Angles, the one away from the neighbours first; to the right where there are none.
std::array<double, directions> anglesFor(const std::vector<MarkToLabel>& marks, std::size_t which, double reach)
{
    QPointF away(1e-6, 0);
    for (std::size_t i = 0; i < marks.size(); ++i) {
        const QPointF d = marks[which].at - marks[i].at;
        if (const double far = lengthOf(d); i != which && far < reach && far > 0) away += d / (far * far);
    }
    const double first = std::atan2(away.y(), away.x());
    std::array<double, directions> angles{};
    for (int k = 0; k < directions; ++k)
        angles[std::size_t(k)] = first + (k % 2 == 0 ? 1 : -1) * ((k + 1) / 2) * 2 * std::numbers::pi / directions;
    return angles;
}

class Placing {
public:
    Placing(const std::vector<MarkToLabel>& marks, const QRectF& allowed, double mark, const std::vector<QRectF>& taken)
        : marks_(marks), allowed_(allowed), mark_(mark)
    {
        for (const QRectF& box : taken)
            placed_.push_back({box, {}});
    }

    std::optional<PlacedLabel> place(std::size_t which)
    {
        const auto angles = anglesFor(marks_, which, 8 * mark_);
        for (const double gap : gaps)
            for (const double angle : angles) {
                const PlacedLabel there = at(which, angle, gap * mark_);
                if (!free(there, which)) continue;
                placed_.push_back(there);
                return there;
            }
        return std::nullopt;
    }

private:
    PlacedLabel at(std::size_t which, double angle, double gap) const
    {
        const auto& [centre, size] = marks_[which];
        const QPointF out(std::cos(angle), std::sin(angle));
        // As far out as its box needs to stand off the rim by the gap.
        const double half = std::abs(out.x()) * size.width() / 2 + std::abs(out.y()) * size.height() / 2;
        const QPointF middle = centre + out * (mark_ + gap + half);
        PlacedLabel label{QRectF(middle - QPointF(size.width(), size.height()) / 2, size), {}};
        if (gap > besideBelow * mark_) label.leader = QLineF(centre + out * mark_, centre + out * (mark_ + 0.8 * gap));
        return label;
    }

    bool free(const PlacedLabel& label, std::size_t which) const
    {
        if (!allowed_.contains(label.box)) return false;
        const double own = fromBox(label.box, marks_[which].at);
        for (std::size_t i = 0; i < marks_.size(); ++i) {
            if (touches(label.box, marks_[i].at, mark_)) return false;
            const bool together = lengthOf(marks_[i].at - marks_[which].at) < 2 * mark_;
            // Without a leader it must not be taken for another mark's.
            if (i != which && label.leader.isNull() && fromBox(label.box, marks_[i].at) < clearly * own) return false;
            if (!together && !label.leader.isNull() && fromLine(marks_[i].at, label.leader) < mark_) return false;
        }
        return std::none_of(placed_.begin(), placed_.end(), [&](const PlacedLabel& other) {
            return other.box.intersects(label.box) || crosses(label.leader, other.box) ||
                   crosses(other.leader, label.box) ||
                   (!label.leader.isNull() && !other.leader.isNull() &&
                    label.leader.intersects(other.leader, nullptr) == QLineF::BoundedIntersection);
        });
    }

    const std::vector<MarkToLabel>& marks_;
    QRectF allowed_;
    double mark_;
    std::vector<PlacedLabel> placed_;
};

}  // namespace

std::vector<std::optional<PlacedLabel>> placedLabels(const std::vector<MarkToLabel>& marks, const QRectF& allowed,
                                                     double mark, const std::vector<QRectF>& taken)
{
    Placing placing(marks, allowed, mark, taken);
    std::vector<std::optional<PlacedLabel>> labels;
    for (std::size_t i = 0; i < marks.size(); ++i)
        labels.push_back(placing.place(i));
    return labels;
}

}  // namespace portwright
