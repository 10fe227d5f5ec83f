// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/table_page.h"

#include "core/response/third_octaves.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/figure_text.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"
#include "plots/chart/axis.h"
#include "plots/plot_palette.h"

#include <QApplication>
#include <QClipboard>
#include <QKeyEvent>
#include <QPainter>

#include <algorithm>
#include <cmath>
#include <utility>

namespace portwright {
namespace {

QString nameOf(TableModel::Quantity quantity)
{
    switch (quantity) {
    case TableModel::Quantity::level:
        return TableModel::tr("Level");
    case TableModel::Quantity::travel:
        return TableModel::tr("Cone");
    case TableModel::Quantity::air:
        return TableModel::tr("Air");
    case TableModel::Quantity::impedance:
        return TableModel::tr("Load");
    }
    return {};
}

QString unitOf(TableModel::Quantity quantity, UnitSystem units)
{
    switch (quantity) {
    case TableModel::Quantity::level:
        return QStringLiteral("dB");
    case TableModel::Quantity::travel:
        return unitName(Dimension::travel, units);
    case TableModel::Quantity::air:
        return unitName(Dimension::airSpeed, units);
    case TableModel::Quantity::impedance:
        return QStringLiteral("\u03A9");
    }
    return {};
}

QString hertzText(double hertz)
{
    QLocale locale;
    locale.setNumberOptions(QLocale::OmitGroupSeparator);
    return locale.toString(hertz, 'g', 4);
}

std::vector<double> scaled(const Eigen::ArrayXd& values, double factor)
{
    std::vector<double> out(std::size_t(values.size()));
    for (Eigen::Index i = 0; i < values.size(); ++i)
        out[std::size_t(i)] = values[i] * factor;
    return out;
}

}  // namespace

const std::vector<double>& tableFrequencies()
{
    static const std::vector<double> centres = thirdOctaves(20, 1000);
    return centres;
}

void TableModel::setResults(Computation& computation, UnitSystem units)
{
    beginResetModel();
    units_ = units;
    const double travelPerSi = fromSi(shownUnit(Dimension::travel, units), 1);
    const double airPerSi = fromSi(shownUnit(Dimension::airSpeed, units), 1);
    columns_.clear();
    const Grid grid =
        gridOf(Eigen::Map<const Eigen::ArrayXd>(tableFrequencies().data(), Eigen::Index(tableFrequencies().size())));
    for (const HousingResult& result : computation.results()) {
        if (!result.computed || !result.visible) continue;
        const auto curves = curvesOf(result.computed->model, grid);
        if (!curves) continue;
        const Model& model = result.computed->model;
        const auto add = [&](Quantity quantity, std::vector<double> values, double limit) {
            columns_.push_back({.slot = result.slot,
                                .name = result.name,
                                .quantity = quantity,
                                .first = quantity == Quantity::level,
                                .values = std::move(values),
                                .limit = limit});
        };
        add(Quantity::level, scaled(curves->level, 1), 0);
        add(Quantity::travel, scaled(curves->coneTravel, travelPerSi), model.driver.Xmax.value_or(0) * travelPerSi);
        if (!curves->portAir.empty()) {
            Eigen::ArrayXd most = curves->portAir.front();
            for (const Eigen::ArrayXd& one : curves->portAir)
                most = most.max(one);
            add(Quantity::air, scaled(most, airPerSi), model.portAirLimit * airPerSi);
        }
        add(Quantity::impedance, scaled(curves->impedance, 1), 0);
    }
    endResetModel();
}

int TableModel::rowCount(const QModelIndex& parent) const
{
    return parent.isValid() ? 0 : int(tableFrequencies().size());
}
int TableModel::columnCount(const QModelIndex& parent) const { return parent.isValid() ? 0 : int(columns_.size()) + 1; }

QVariant TableModel::data(const QModelIndex& index, int role) const
{
    if (!index.isValid()) return {};
    if (role == Qt::TextAlignmentRole) return int(Qt::AlignRight | Qt::AlignVCenter);
    const auto row = std::size_t(index.row());
    if (index.column() == 0) {
        if (role == Qt::DisplayRole) return hertzText(tableFrequencies()[row]);
        return role == Qt::FontRole ? QVariant(figureFont(Letters::readout)) : QVariant();
    }
    const Column& column = columns_[std::size_t(index.column() - 1)];
    const double value = column.values[row];
    const bool past = column.limit > 0 && value > column.limit;
    switch (role) {
    case Qt::DisplayRole:
        return readoutText(value, QLocale());
    case Qt::FontRole:
        return past ? QVariant(figureFont(Letters::readout)) : QVariant(figureFont(Letters::body));
    case Qt::ForegroundRole:
        return past ? QVariant(currentPlotPalette().over) : QVariant();
    case Qt::DecorationRole:
        return past ? QVariant(inkedIcon(QStringLiteral("over"), currentPlotPalette(), Ink::over)) : QVariant();
    case Qt::AccessibleTextRole:
        return past ? tr("%1, over the limit").arg(readoutText(value, QLocale())) : readoutText(value, QLocale());
    default:
        return {};
    }
}

QString TableModel::headOf(Quantity quantity) const
{
    return nameOf(quantity) + QLatin1Char(' ') + unitOf(quantity, units_);
}

QVariant TableModel::headerData(int section, Qt::Orientation orientation, int role) const
{
    if (orientation != Qt::Horizontal ||
        (role != Qt::DisplayRole && role != Qt::AccessibleTextRole && role != Qt::ToolTipRole))
        return {};
    if (section == 0) return tr("Frequency Hz");
    const Column& column = columns_[std::size_t(section - 1)];
    const QString words = headOf(column.quantity);
    return role == Qt::DisplayRole
               ? words
               : housingLetter(column.slot) + QLatin1Char(' ') + column.name + QStringLiteral(", ") + words;
}

QString TableModel::text(const QModelIndexList& rows) const
{
    QString out = tr("Frequency (Hz)");
    for (const Column& column : columns_)
        out += QLatin1Char('\t') + column.name + QLatin1Char(' ') + nameOf(column.quantity) + QStringLiteral(" (") +
               unitOf(column.quantity, units_) + QLatin1Char(')');
    out += QLatin1Char('\n');
    std::vector<int> which;
    for (const QModelIndex& index : rows)
        which.push_back(index.row());
    std::sort(which.begin(), which.end());
    which.erase(std::unique(which.begin(), which.end()), which.end());
    for (int row : which) {
        out += hertzText(tableFrequencies()[std::size_t(row)]);
        for (const Column& column : columns_)
            out += QLatin1Char('\t') + QLocale().toString(column.values[std::size_t(row)], 'f', 1);
        out += QLatin1Char('\n');
    }
    return out;
}

void FigureCell::paint(QPainter* painter, const QStyleOptionViewItem& option, const QModelIndex& index) const
{
    QStyleOptionViewItem cell = option;
    initStyleOption(&cell, index);
    const QString figure = std::exchange(cell.text, QString());
    const QIcon mark = std::exchange(cell.icon, QIcon());
    cell.features &= ~QStyleOptionViewItem::HasDecoration;
    const QStyle* style = cell.widget ? cell.widget->style() : QApplication::style();
    style->drawControl(QStyle::CE_ItemViewItem, &cell, painter, cell.widget);
    const QRect room = cell.rect.adjusted(px(4), 0, -px(8), 0);
    painter->save();
    painter->setFont(cell.font);
    painter->setPen(cell.palette.color(QPalette::Text));
    painter->drawText(room, Qt::AlignRight | Qt::AlignVCenter, figure);
    painter->restore();
    if (mark.isNull()) return;
    const int right = room.right() - cell.fontMetrics.horizontalAdvance(figure) - px(4);
    const QSize size = cell.decorationSize;
    mark.paint(painter, QRect(QPoint(right - size.width(), room.center().y() - size.height() / 2), size));
}

/// On one line, else the unit below, else the unit alone: never a piece of a word. The tip has all of it.
QString fittedHead(const QString& head, const QFontMetrics& font, int width)
{
    if (font.horizontalAdvance(head) <= width) return head;
    const qsizetype blank = head.lastIndexOf(QLatin1Char(' '));
    const QString words = head.left(blank), unit = head.mid(blank + 1);
    return font.horizontalAdvance(words) <= width ? words + QLatin1Char('\n') + unit : unit;
}

GroupedHeader::GroupedHeader(TableModel& model, QWidget* parent) : QHeaderView(Qt::Horizontal, parent), table_(model)
{
    setSectionResizeMode(QHeaderView::Stretch);
    setHighlightSections(false);
    setDefaultAlignment(Qt::AlignRight | Qt::AlignVCenter);
    setAccessibleName(tr("Housings and quantities"));
}

QSize GroupedHeader::sizeHint() const { return {QHeaderView::sizeHint().width(), px(62)}; }

/// Each section paints its own piece of the group's title, since sections are painted one by one.
void GroupedHeader::paintGroup(QPainter& painter, const QRect& rect, std::size_t at) const
{
    const PlotPalette palette = currentPlotPalette();
    const auto& columns = table_.columns();
    int left = rect.left();
    std::size_t first = at;
    while (!columns[first].first) {
        --first;
        left -= sectionSize(int(first) + 1);
    }
    int width = 0;
    for (std::size_t i = first; i < columns.size() && (i == first || !columns[i].first); ++i)
        width += sectionSize(int(i) + 1);
    const QRect upper(left, rect.top(), width, rect.height() / 2);
    const double middle = upper.top() + upper.height() / 2.0 - px(1);
    painter.setClipRect(QRect(rect.left(), rect.top(), rect.width(), upper.height() + 1));
    painter.setPen(QPen(housingColour(palette, columns[at].slot), px(2)));
    painter.drawLine(upper.left() + px(10), upper.bottom(), upper.right(), upper.bottom());
    painter.setFont(lettersFont(Letters::remark));
    paintHousingTag(painter, QRectF(upper.left() + px(10), middle - px(8), px(16), px(16)), palette, columns[at].slot,
                    TagFace::filled);
    painter.setPen(housingPen(palette, columns[at].slot, 1.6));
    painter.drawLine(QPointF(upper.left() + px(32), middle), QPointF(upper.left() + px(58), middle));
    painter.setPen(palette.text);
    painter.setFont(lettersFont(Letters::readout));
    const QRect words(upper.left() + px(66), upper.top(), upper.width() - px(70), upper.height() - px(2));
    painter.drawText(words, Qt::AlignLeft | Qt::AlignVCenter,
                     QFontMetrics(painter.font()).elidedText(columns[at].name, Qt::ElideRight, words.width()));
}

void GroupedHeader::paintSection(QPainter* painter, const QRect& rect, int section) const
{
    const PlotPalette palette = currentPlotPalette();
    painter->save();
    painter->fillRect(rect, palette.base);
    painter->setRenderHint(QPainter::Antialiasing);
    const QRect lower(rect.left(), rect.top() + rect.height() / 2, rect.width() - px(8), rect.height() / 2);
    painter->setFont(lettersFont(Letters::remark));
    painter->setPen(palette.dim);
    painter->drawText(
        lower, Qt::AlignRight | Qt::AlignVCenter,
        fittedHead(model()->headerData(section, Qt::Horizontal).toString(), painter->fontMetrics(), lower.width()));
    if (section > 0) paintGroup(*painter, rect, std::size_t(section - 1));
    painter->restore();
}

TablePage::TablePage(Workbench& workbench, QWidget* parent) : QTableView(parent), workbench_(workbench)
{
    setModel(&model_);
    setHorizontalHeader(new GroupedHeader(model_, this));
    verticalHeader()->hide();
    verticalHeader()->setDefaultSectionSize(px(20));
    verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    setAccessibleName(tr("Table of the charts"));
    setFrameShape(QFrame::NoFrame);
    setSelectionBehavior(QAbstractItemView::SelectRows);
    setSelectionMode(QAbstractItemView::ExtendedSelection);
    setShowGrid(false);
    setTabKeyNavigation(false);
    setEditTriggers(QAbstractItemView::NoEditTriggers);
    setIconSize(QSize(px(14), px(14)));
    setItemDelegate(new FigureCell(this));
    connect(&workbench_, &Workbench::cursorChanged, this, &TablePage::followCursor);
}

void TablePage::ink()
{
    const PlotPalette plot = currentPlotPalette();
    QPalette own = QApplication::palette();
    const auto mixed = [](const QColor& a, const QColor& b, double share) {
        return QColor::fromRgbF(float(a.redF() * share + b.redF() * (1 - share)),
                                float(a.greenF() * share + b.greenF() * (1 - share)),
                                float(a.blueF() * share + b.blueF() * (1 - share)));
    };
    own.setColor(QPalette::Highlight,
                 mixed(plot.accent, plot.base, 0.16));  // a tint, so that marks and red figures stay readable
    own.setColor(QPalette::HighlightedText, plot.text);
    if (own != palette()) setPalette(own);
}

void TablePage::refresh()
{
    ink();
    following_ = true;
    model_.setResults(workbench_.computation(), workbench_.units());
    following_ = false;
    horizontalHeader()->setSectionResizeMode(QHeaderView::Stretch);
    followCursor();
}

void TablePage::followCursor()
{
    const auto& rows = tableFrequencies();
    std::size_t nearest = 0;
    for (std::size_t i = 1; i < rows.size(); ++i)
        if (std::abs(std::log(rows[i] / workbench_.cursor())) < std::abs(std::log(rows[nearest] / workbench_.cursor())))
            nearest = i;
    if (currentIndex().row() == int(nearest)) return;
    following_ = true;
    setCurrentIndex(model_.index(int(nearest), std::max(0, currentIndex().column())));
    following_ = false;
}

void TablePage::currentChanged(const QModelIndex& current, const QModelIndex& previous)
{
    QTableView::currentChanged(current, previous);
    if (!following_ && current.isValid()) workbench_.setCursor(tableFrequencies()[std::size_t(current.row())]);
}

void TablePage::copy() const
{
    QModelIndexList rows = selectionModel()->selectedIndexes();
    if (rows.isEmpty()) rows << currentIndex();
    QApplication::clipboard()->setText(model_.text(rows));
}

void TablePage::keyPressEvent(QKeyEvent* event)
{
    if (event->matches(QKeySequence::Copy)) return copy();
    QTableView::keyPressEvent(event);
}

}  // namespace portwright
