// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/mode_slice.h"

#include "plots/chart/line_clip.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace portwright {
namespace {

/// Axes of the paper's right and up, and across: see ModeSlice.
struct Axes {
    std::size_t right, up, across;
};
Axes axesOf(SolidAxis across)
{
    switch (across) {
    case SolidAxis::x:
        return {1, 2, 0};
    case SolidAxis::y:
        return {0, 2, 1};
    case SolidAxis::z:
        break;
    }
    return {0, 1, 2};
}

std::size_t cellsOf(const ModeField& field)
{
    std::size_t n = 1;
    for (const int size : field.size)
        n *= std::size_t(std::max(size, 0));
    return n;
}

/// Columns and rows of a slice, and what stands in them.
struct Cells {
    const ModeSlice& slice;
    bool inside(int column, int row) const
    {
        return column >= 0 && row >= 0 && column < slice.columns && row < slice.rows &&
               slice.inside[std::size_t(column + slice.columns * row)];
    }
    float at(int column, int row) const { return slice.pressure[std::size_t(column + slice.columns * row)]; }
    /// Of the cell, or of those beside it that are inside (corner neighbours last).
    std::optional<float> pressure(int column, int row) const
    {
        if (inside(column, row)) return at(column, row);
        for (const auto& around : {std::array{1, 0, -1, 0, 0, 1, 0, -1}, std::array{1, 1, -1, 1, 1, -1, -1, -1}}) {
            float sum = 0;
            int count = 0;
            for (std::size_t i = 0; i < around.size(); i += 2)
                if (inside(column + around[i], row + around[i + 1]))
                    sum += at(column + around[i], row + around[i + 1]), ++count;
            if (count > 0) return sum / float(count);
        }
        return std::nullopt;
    }
};

}  // namespace

bool consistent(const ModeField& field)
{
    if (!(field.cell > 0) || !std::isfinite(field.cell)) return false;
    const std::size_t n = cellsOf(field);
    if (n == 0 || field.inside.size() != n || field.pressure.size() != n) return false;
    bool any = false;
    for (std::size_t i = 0; i < n; ++i) {
        if (field.inside[i] && !std::isfinite(field.pressure[i])) return false;
        any = any || field.inside[i];
    }
    return any;
}

int layersOf(const ModeField& field, SolidAxis across) { return field.size[axesOf(across).across]; }

int layerAt(const ModeField& field, SolidAxis across, double place)
{
    const std::size_t axis = axesOf(across).across;
    const double layer = std::floor((place - field.origin[axis]) / field.cell);
    return int(std::clamp(layer, 0.0, double(std::max(field.size[axis] - 1, 0))));
}

QPointF onSlice(SolidAxis across, const Point3& place)
{
    const Axes axes = axesOf(across);
    return {place[axes.right], place[axes.up]};
}

ModeSlice sliceOf(const ModeField& field, SolidAxis across, int layer)
{
    const Axes axes = axesOf(across);
    ModeSlice slice;
    slice.columns = field.size[axes.right];
    slice.rows = field.size[axes.up];
    slice.box =
        QRectF(field.origin[axes.right], field.origin[axes.up], slice.columns * field.cell, slice.rows * field.cell);
    float greatest = 0;
    for (std::size_t i = 0; i < field.pressure.size(); ++i)
        if (field.inside[i]) greatest = std::max(greatest, std::abs(field.pressure[i]));
    const std::array<std::size_t, 3> step{1, std::size_t(field.size[0]),
                                          std::size_t(field.size[0]) * std::size_t(field.size[1])};
    for (int row = 0; row < slice.rows; ++row)
        for (int column = 0; column < slice.columns; ++column) {
            const std::size_t i = std::size_t(column) * step[axes.right] + std::size_t(row) * step[axes.up] +
                                  std::size_t(layer) * step[axes.across];
            slice.inside.push_back(field.inside[i] ? 1 : 0);
            slice.pressure.push_back(field.inside[i] && greatest > 0 ? field.pressure[i] / greatest : 0);
        }
    return slice;
}

std::optional<double> pressureAt(const ModeField& field, const Point3& place)
{
    if (!consistent(field)) return std::nullopt;
    float greatest = 0;
    for (std::size_t i = 0; i < field.pressure.size(); ++i)
        if (field.inside[i]) greatest = std::max(greatest, std::abs(field.pressure[i]));
    std::array<int, 3> cell{};
    for (std::size_t i = 0; i < 3; ++i) {
        const double at = std::floor((place[i] - field.origin[i]) / field.cell);
        if (!(std::abs(at) < 1e9)) return std::nullopt;
        cell[i] = int(at);
    }
    constexpr int reach = 2;
    std::optional<double> found;
    double nearest = 1e300;
    for (int k = cell[2] - reach; k <= cell[2] + reach; ++k)
        for (int j = cell[1] - reach; j <= cell[1] + reach; ++j)
            for (int i = cell[0] - reach; i <= cell[0] + reach; ++i) {
                if (i < 0 || j < 0 || k < 0 || i >= field.size[0] || j >= field.size[1] || k >= field.size[2]) continue;
                const std::size_t index =
                    std::size_t(i) +
                    std::size_t(field.size[0]) * (std::size_t(j) + std::size_t(field.size[1]) * std::size_t(k));
                const double away = std::hypot(field.origin[0] + (i + 0.5) * field.cell - place[0],
                                               field.origin[1] + (j + 0.5) * field.cell - place[1],
                                               field.origin[2] + (k + 0.5) * field.cell - place[2]);
                if (!field.inside[index] || away >= nearest) continue;
                nearest = away;
                found = greatest > 0 ? double(field.pressure[index] / greatest) : 0;
            }
    return found;
}

QVector<QLineF> nodeLine(const ModeSlice& slice)
{
    const Cells cells{slice};
    QVector<QLineF> lines;
    if (slice.columns < 1 || slice.rows < 1) return lines;
    const double cell = slice.box.width() / slice.columns;
    const auto centre = [&](int column, int row) {
        return slice.box.topLeft() + QPointF((column + 0.5) * cell, (row + 0.5) * cell);
    };
    for (int row = -1; row < slice.rows; ++row)
        for (int column = -1; column < slice.columns; ++column) {  // squares between four cell centres
            const std::array<std::array<int, 2>, 4> corners{
                {{column, row}, {column + 1, row}, {column + 1, row + 1}, {column, row + 1}}};
            std::array<std::optional<float>, 4> p;
            for (std::size_t i = 0; i < 4; ++i)
                p[i] = cells.pressure(corners[i][0], corners[i][1]);
            std::vector<QPointF> crossings;
            for (std::size_t i = 0; i < 4; ++i) {
                const std::size_t k = (i + 1) % 4;
                if (!p[i] || !p[k] || (*p[i] < 0) == (*p[k] < 0)) continue;
                const double t = double(*p[i]) / (double(*p[i]) - double(*p[k]));
                const QPointF a = centre(corners[i][0], corners[i][1]), b = centre(corners[k][0], corners[k][1]);
                crossings.push_back(a + (b - a) * t);
            }
            for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {  // four in a saddle: two pieces
                std::optional<QPointF> done;          // a piece on a border belongs to both its cells
                for (const auto& [c, r] : corners) {  // each quarter belongs to its cell
                    if (!cells.inside(c, r)) continue;
                    const QRectF own(slice.box.topLeft() + QPointF(c * cell, r * cell), QSizeF(cell, cell));
                    const auto piece = insideBox(QLineF(crossings[i], crossings[i + 1]), own);
                    if (!piece || piece->length() <= 1e-6 * cell) continue;
                    if (done && QLineF(*done, piece->center()).length() < 1e-6 * cell) continue;
                    done = piece->center();
                    lines.append(*piece);
                }
            }
        }
    return lines;
}

QVector<QLineF> wallLine(const ModeSlice& slice)
{
    const Cells cells{slice};
    QVector<QLineF> lines;
    if (slice.columns < 1 || slice.rows < 1) return lines;
    const double cell = slice.box.width() / slice.columns;
    const auto corner = [&](int column, int row) { return slice.box.topLeft() + QPointF(column * cell, row * cell); };
    for (int row = 0; row <= slice.rows; ++row)  // one line for a straight row of edges
        for (int from = 0; from < slice.columns;) {
            int to = from;
            while (to < slice.columns && cells.inside(to, row) != cells.inside(to, row - 1))
                ++to;
            if (to > from) lines.append(QLineF(corner(from, row), corner(to, row)));
            from = to + 1;
        }
    for (int column = 0; column <= slice.columns; ++column)
        for (int from = 0; from < slice.rows;) {
            int to = from;
            while (to < slice.rows && cells.inside(column, to) != cells.inside(column - 1, to))
                ++to;
            if (to > from) lines.append(QLineF(corner(column, from), corner(column, to)));
            from = to + 1;
        }
    return lines;
}

}  // namespace portwright
