// SPDX-License-Identifier: GPL-3.0-or-later
// Where the parts of a comparison sheet lie: the arrangement with the largest letters that holds everything. Internal.
#pragma once

#include "plots/sheet/sheet.h"

#include <QFont>
#include <QRectF>

class QPainter;

namespace portwright {

/// Letters of a sheet at one size.
struct SheetType {
    double em = 12;  ///< px
    QFont font(double factor = 1, QFont::Weight weight = QFont::Normal) const;
};

struct SheetLayout {
    SheetType type;
    QRectF title;
    std::array<QRectF, 4> charts;
    std::vector<QRectF> cards;  ///< by housing
    QRectF ledger;              ///< may be null
    QRectF footer;
    double pixelsPerMm = 0.5;  ///< one scale for all cuts
    bool holdsAll = true;      ///< false: the page is too small even at the smallest letters
};
SheetLayout layOut(const QSizeF& size, const ComparisonSheet& sheet);

/// Wrapped text with a leading word of its own colour; returns its height, paints if there is a painter.
double flowText(QPainter* painter, const QPointF& at, double width, const QFont& font, const QColor& colour,
                const QString& lead, const QColor& leadColour, const QString& text);

/// Verdicts a card shows at most, unless more of them are over, near or missing.
std::size_t verdictsShown(const ComparisonSheet& sheet);
/// Height of a card at a width; paints if there is a painter.
double flowCard(QPainter* painter, const QRectF& box, const SheetType& type, const SheetHousing& housing,
                double pixelsPerMm, std::size_t most);
double flowFooter(QPainter* painter, const QRectF& box, const SheetType& type, const ComparisonSheet& sheet);
/// Width that the widest line of label and figure needs.
double figuresWidth(const SheetType& type, const SheetHousing& housing);
/// Box that a card leaves for its cut.
QSizeF cutBox(double cardWidth, const SheetType& type, const SheetHousing& housing);

}  // namespace portwright
