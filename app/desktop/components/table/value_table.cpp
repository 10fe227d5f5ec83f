// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/table/value_table.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/table/value_cell.h"

#include <QApplication>
#include <QClipboard>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLineEdit>
#include <QRegularExpression>

#include <algorithm>
#include <set>
#include <utility>

namespace portwright {
namespace {

/// The cells of a text from a spreadsheet: tabs part them, or semicolons where there is no tab.
std::vector<QStringList> cellsOf(QString text)
{
    text.remove(QLatin1Char('\r'));
    while (text.endsWith(QLatin1Char('\n')))
        text.chop(1);
    std::vector<QStringList> rows;
    const QChar part = text.contains(QLatin1Char('\t')) ? QLatin1Char('\t') : QLatin1Char(';');
    for (const QString& line : text.split(QLatin1Char('\n')))
        rows.push_back(line.split(part));
    return rows;
}

}  // namespace

ValueTable::ValueTable(const QString& accessibleName, QWidget* parent) : QTableView(parent)
{
    auto* cell = new ValueCell(model_, this);
    setModel(&model_);
    setItemDelegate(cell);
    setAccessibleName(accessibleName);
    setTabKeyNavigation(false);
    setSelectionMode(QAbstractItemView::ContiguousSelection);
    setEditTriggers(QAbstractItemView::DoubleClicked | QAbstractItemView::SelectedClicked |
                    QAbstractItemView::EditKeyPressed | QAbstractItemView::AnyKeyPressed);
    setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    setCornerButtonEnabled(false);
    setShowGrid(true);
    verticalHeader()->setDefaultSectionSize(px(22));
    verticalHeader()->setSectionResizeMode(QHeaderView::Fixed);
    horizontalHeader()->setSectionResizeMode(QHeaderView::Interactive);
    horizontalHeader()->setMinimumSectionSize(px(46));
    horizontalHeader()->setHighlightSections(false);
    connect(cell, &ValueCell::previewed, this,
            [this](int row, int column, const TableCell& typed) { emit previewed(with(row, column, typed)); });
    connect(cell, &ValueCell::committed, this, [this](int row, int column, const TableCell& typed) {
        emit refused({});
        take(with(row, column, typed),
             begun_ == row ? tr("Add Row") : tr("Change %1").arg(model_.columns()[std::size_t(column)].head));
    });
    connect(cell, &ValueCell::refused, this, &ValueTable::refused);
    connect(cell, &QAbstractItemDelegate::closeEditor, this, &ValueTable::previewEnded);
    fitSoon_.setSingleShot(true);
    fitSoon_.setInterval(0);
    connect(&fitSoon_, &QTimer::timeout, this, &ValueTable::fitColumns);
    connect(&model_, &QAbstractItemModel::modelReset, &fitSoon_, [this] { fitSoon_.start(); });
    connect(&model_, &QAbstractItemModel::dataChanged, &fitSoon_, [this] { fitSoon_.start(); });
    connect(&model_, &QAbstractItemModel::headerDataChanged, &fitSoon_, [this] { fitSoon_.start(); });
    ink();
}

void ValueTable::fitColumns()
{
    const int count = model_.columnCount();
    if (count == 0 || state() == QAbstractItemView::EditingState) return;
    std::vector<int> needed;
    int all = 0;
    for (int column = 0; column < count; ++column) {
        needed.push_back(std::max(sizeHintForColumn(column), horizontalHeader()->sectionSizeHint(column)) + px(6));
        all += needed.back();
    }
    if (wrapped_ >= 0 && wrapped_ < count) {
        const int own = needed[std::size_t(wrapped_)], rest = viewport()->width() - (all - own);
        needed[std::size_t(wrapped_)] = std::max(std::min(own, px(110)), rest);
        for (int column = 0; column < count; ++column)
            setColumnWidth(column, needed[std::size_t(column)]);
        return resizeRowsToContents();
    }
    const int spare = std::max(0, viewport()->width() - all);
    for (int column = 0; column < count; ++column)
        setColumnWidth(column, needed[std::size_t(column)] + spare * (column + 1) / count - spare * column / count);
}

void ValueTable::setWrappedColumn(int column)
{
    wrapped_ = column;
    fitSoon_.start();
}

void ValueTable::resizeEvent(QResizeEvent* event)
{
    QTableView::resizeEvent(event);
    fitSoon_.start();
}

TableRows ValueTable::with(int row, int column, const TableCell& cell) const
{
    TableRows rows = model_.rows();
    if (std::size_t(row) < rows.size()) rows[std::size_t(row)][std::size_t(column)] = cell;
    return rows;
}

/// A row only begun stays below its owner's rows until it counts, or is left.
void ValueTable::setRows(TableRows rows)
{
    if (begun_ && int(rows.size()) <= *begun_) {
        TableRow last = model_.rows().back();
        begun_ = int(rows.size());
        rows.push_back(std::move(last));
        model_.setBegunRow(*begun_);
    }
    model_.setRows(std::move(rows));
}

/// Shown at once, so that the next key finds it; the owner's rows come later and prevail.
void ValueTable::take(TableRows rows, const QString& step)
{
    begun_.reset();
    model_.setBegunRow(-1);
    model_.setRows(rows);
    emit edited(std::move(rows), step);
}

void ValueTable::beginRow()
{
    TableRows rows = model_.rows();
    begun_ = int(rows.size());
    rows.push_back(fresh_(rows));
    model_.setRows(std::move(rows));
    model_.setBegunRow(*begun_);
    scrollToBottom();
}

void ValueTable::forgetBegunRow()
{
    if (!begun_) return;
    TableRows rows = model_.rows();
    if (int(rows.size()) > *begun_) rows.resize(std::size_t(*begun_));
    begun_.reset();
    model_.setBegunRow(-1);
    model_.setRows(std::move(rows));
}

/// To the cell after (before) this one, and edits it.
void ValueTable::moveOn(const QModelIndex& from, Way way)
{
    const int columns = model_.columnCount(), step = way == Way::back ? -1 : 1;
    const auto stops = [&](int row, int column) {
        const auto kind = model_.columns()[std::size_t(column)].kind;
        return model_.editable(row, column) && (way != Way::nextTyped || kind != TableColumn::Kind::choice);
    };
    const auto search = [&](int cell) {
        while (cell >= 0 && cell < model_.rowCount() * columns && !stops(cell / columns, cell % columns))
            cell += step;
        return cell;
    };
    int cell = search(from.row() * columns + from.column() + step);
    if (cell >= model_.rowCount() * columns) {
        if (begun_ || !fresh_) return forgetBegunRow();  // nothing was typed into it
        beginRow();
        cell = search(*begun_ * columns);
        if (cell >= model_.rowCount() * columns) return forgetBegunRow();
    }
    if (cell < 0) return;
    const QModelIndex to = model_.index(cell / columns, cell % columns);
    setCurrentIndex(to);
    setFocus();
    edit(to);
}

void ValueTable::closeEditor(QWidget* editor, QAbstractItemDelegate::EndEditHint hint)
{
    using Hint = QAbstractItemDelegate::EndEditHint;
    const QPersistentModelIndex from = currentIndex();
    const bool moves =
        !moving_ && (hint == Hint::EditNextItem || hint == Hint::EditPreviousItem || hint == Hint::SubmitModelCache);
    const bool moving = std::exchange(moving_, true);
    QTableView::closeEditor(editor, moves ? Hint::NoHint : hint);
    moving_ = moving;
    if (hint == Hint::RevertModelCache || (hint == Hint::NoHint && !hasFocus())) forgetBegunRow();
    if (!moves || !from.isValid()) return;
    moveOn(from, hint == Hint::EditNextItem ? Way::next : hint == Hint::EditPreviousItem ? Way::back : Way::nextTyped);
}

void ValueTable::focusOutEvent(QFocusEvent* event)
{
    QTableView::focusOutEvent(event);
    if (!moving_ && state() != QAbstractItemView::EditingState) forgetBegunRow();
}

// An editor that loses the focus since its table goes must not report to what is gone already.
ValueTable::~ValueTable() { itemDelegate()->blockSignals(true); }

void ValueTable::setShownRows(int rows)
{
    shown_ = rows;
    setFixedHeight(sizeHint().height());
}

QSize ValueTable::sizeHint() const
{
    const int head = horizontalHeader()->sizeHint().height();
    const int rows = shown_ > 0 ? shown_ : std::max(4, model_.rowCount());
    return {px(320), head + rows * verticalHeader()->defaultSectionSize() + 2 * frameWidth() + px(4)};
}

void ValueTable::addRow()
{
    if (!fresh_) return;
    commitEditor();
    forgetBegunRow();
    TableRows rows = model_.rows();
    const int at = currentRow() < 0 ? int(rows.size()) : currentRow() + 1;
    TableRows before(rows.begin(), rows.begin() + at);
    rows.insert(rows.begin() + at, fresh_(before));
    take(std::move(rows), tr("Add Row"));
    if (at < model_.rowCount()) setCurrentIndex(model_.index(at, std::max(0, currentIndex().column())));
    setFocus();
}

void ValueTable::removeRows()
{
    if (!fresh_) return;
    if (begun_) {
        if (QWidget* editor = openEditor()) closeEditor(editor, QAbstractItemDelegate::RevertModelCache);
        return forgetBegunRow();
    }
    commitEditor();
    std::set<int> chosen;
    for (const QModelIndex& index : selectionModel()->selectedIndexes())
        chosen.insert(index.row());
    if (chosen.empty() && currentRow() >= 0) chosen.insert(currentRow());
    if (chosen.empty()) return;
    if (model_.rowCount() - int(chosen.size()) < least_)
        return void(emit refused(tr("There must be at least %1 rows.").arg(least_)));
    TableRows rows;
    for (int row = 0; row < model_.rowCount(); ++row)
        if (!chosen.contains(row)) rows.push_back(model_.rows()[std::size_t(row)]);
    const int next = std::min(*chosen.begin(), int(rows.size()) - 1), column = std::max(0, currentIndex().column());
    take(std::move(rows), chosen.size() == 1 ? tr("Remove Row") : tr("Remove Rows"));
    if (next >= 0 && next < model_.rowCount()) setCurrentIndex(model_.index(next, column));
}

void ValueTable::copy() const
{
    QModelIndexList cells = selectionModel()->selectedIndexes();
    if (cells.isEmpty()) cells << currentIndex();
    if (!cells.front().isValid()) return;
    std::sort(cells.begin(), cells.end());
    QString text;
    for (qsizetype i = 0; i < cells.size(); ++i) {
        if (i > 0) text += cells[i].row() == cells[i - 1].row() ? QLatin1Char('\t') : QLatin1Char('\n');
        text += model_.text(cells[i].row(), cells[i].column());
    }
    QApplication::clipboard()->setText(text);
}

void ValueTable::paste()
{
    commitEditor();
    forgetBegunRow();
    auto pasted = cellsOf(QApplication::clipboard()->text());
    const int left = std::max(0, currentIndex().column());
    int row = std::max(0, currentRow());
    if (pasted.size() > 1 && std::none_of(pasted.front().begin(), pasted.front().end(), [](const QString& cell) {
            return cell.contains(QRegularExpression(QStringLiteral("\\d")));
        }))
        pasted.erase(pasted.begin());  // its heads
    ValueTableModel target;
    target.setColumns(model_.columns());
    target.setUnits(model_.units());
    TableRows rows = model_.rows();
    for (const QStringList& line : pasted) {
        if (std::size_t(row) >= rows.size()) {
            if (!fresh_) break;
            rows.push_back(fresh_(rows));
        }
        for (int i = 0; i < line.size() && left + i < model_.columnCount(); ++i) {
            target.setRows(rows);
            if (line[i].trimmed().isEmpty() || line[i].trimmed() == QStringLiteral("\u2013") ||
                model_.columns()[std::size_t(left + i)].kind == TableColumn::Kind::computed)
                continue;
            const auto cell = target.read(line[i], row, left + i);
            if (!cell)
                return void(emit refused(
                    tr("Not pasted: %1: %2")
                        .arg(target.placeWords(row, left + i), QString::fromStdString(cell.error().message))));
            rows[std::size_t(row)][std::size_t(left + i)] = *cell;
        }
        ++row;
    }
    emit refused({});
    take(std::move(rows), tr("Paste into Table"));
}

QWidget* ValueTable::openEditor() const
{
    for (auto* line : viewport()->findChildren<QLineEdit*>())
        if (line->isVisible()) return line;
    return indexWidget(currentIndex());
}

void ValueTable::commitEditor()
{
    QWidget* editor = openEditor();
    if (!editor) return;
    commitData(editor);
    if (editor != openEditor()) return;  // its owner's rows have closed it
    closeEditor(editor, QAbstractItemDelegate::NoHint);
}

void ValueTable::keyPressEvent(QKeyEvent* event)
{
    if (event->matches(QKeySequence::Copy)) return copy();
    if (event->matches(QKeySequence::Paste)) return paste();
    switch (event->key()) {
    case Qt::Key_Insert:
        return addRow();
    case Qt::Key_Delete:
        return removeRows();
    case Qt::Key_Return:
    case Qt::Key_Enter:
        if (state() != QAbstractItemView::EditingState && currentIndex().isValid()) return edit(currentIndex());
        break;
    default:
        break;
    }
    QTableView::keyPressEvent(event);
}

void ValueTable::currentChanged(const QModelIndex& current, const QModelIndex& previous)
{
    const bool moving = std::exchange(moving_, true);  // the editor it closes was left, not finished with Return
    QTableView::currentChanged(current, previous);
    moving_ = moving;
    if (begun_ && current.row() < *begun_) forgetBegunRow();
    if (current.row() != previous.row()) emit rowChosen(current.row());
}

void ValueTable::ink()
{
    const PlotPalette plot = currentPlotPalette();
    QPalette own = QApplication::palette();
    const auto mixed = [](const QColor& a, const QColor& b, float share) {
        return QColor::fromRgbF(a.redF() * share + b.redF() * (1 - share),
                                a.greenF() * share + b.greenF() * (1 - share),
                                a.blueF() * share + b.blueF() * (1 - share));
    };
    own.setColor(QPalette::Highlight, mixed(plot.accent, plot.base, 0.16F));  // a tint: computed figures stay readable
    own.setColor(QPalette::HighlightedText, plot.text);
    if (own != palette()) setPalette(own);
}

/// A theme chosen while it was out of view counts, too.
void ValueTable::showEvent(QShowEvent* event)
{
    ink();
    QTableView::showEvent(event);
}

void ValueTable::changeEvent(QEvent* event)
{
    QTableView::changeEvent(event);
    if (event->type() == QEvent::ApplicationPaletteChange) ink();
}

}  // namespace portwright
