// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/table/value_cell.h"

#include "app/desktop/components/measures.h"
#include "app/desktop/components/quiet_combo_box.h"
#include "app/desktop/components/workshop_style.h"

#include <QKeyEvent>
#include <QLineEdit>
#include <QPersistentModelIndex>

namespace portwright {
namespace {

constexpr char rowProperty[] = "row", columnProperty[] = "column";

/// A line whose Ctrl+Z goes to the window unless something is being typed.
class CellLine : public QLineEdit {
public:
    using QLineEdit::QLineEdit;
    bool event(QEvent* event) override
    {
        if (event->type() == QEvent::ShortcutOverride) {
            const auto* key = static_cast<QKeyEvent*>(event);
            const bool history = key->matches(QKeySequence::Undo) || key->matches(QKeySequence::Redo);
            if (history && !(isModified() && isUndoAvailable())) {
                event->ignore();
                return false;
            }
        }
        return QLineEdit::event(event);
    }
};

QString sentenceOf(const ValueTableModel& model, int row, int column, const Error& error)
{
    return ValueCell::tr("%1: %2").arg(model.placeWords(row, column), QString::fromStdString(error.message));
}

}  // namespace

ValueCell::ValueCell(ValueTableModel& model, QObject* parent) : QStyledItemDelegate(parent), model_(model) {}

QWidget* ValueCell::createEditor(QWidget* parent, const QStyleOptionViewItem&, const QModelIndex& index) const
{
    const TableColumn& head = model_.columns()[std::size_t(index.column())];
    auto* self = const_cast<ValueCell*>(this);  // the delegate's own signals, from a factory that Qt made const
    QWidget* editor = nullptr;
    if (head.kind == TableColumn::Kind::choice) {
        auto* combo = new QuietComboBox(parent);
        combo->addItems(head.choices);
        connect(combo, &QComboBox::activated, self, [self, combo] {
            emit self->commitData(combo);
            emit self->closeEditor(combo);
        });
        editor = combo;
    } else {
        auto* line = new CellLine(parent);
        line->setFont(head.kind == TableColumn::Kind::quantity ? figureFont(Letters::body)
                                                               : lettersFont(Letters::body));
        line->setAlignment((head.kind == TableColumn::Kind::quantity ? Qt::AlignRight : Qt::AlignLeft) |
                           Qt::AlignVCenter);
        connect(line, &QLineEdit::textEdited, self, [self, line](const QString& text) {
            const int row = line->property(rowProperty).toInt(), column = line->property(columnProperty).toInt();
            if (row >= self->model_.rowCount()) return;
            const auto cell = self->model_.read(text, row, column);
            setNotTaken(*line, !cell && !text.trimmed().isEmpty());
            emit self->refused({});
            if (cell) emit self->previewed(row, column, *cell);
        });
        editor = line;
    }
    editor->setProperty(rowProperty, index.row());
    editor->setProperty(columnProperty, index.column());
    editor->setAccessibleName(model_.placeWords(index.row(), index.column()));
    return editor;
}

void ValueCell::setEditorData(QWidget* editor, const QModelIndex& index) const
{
    if (auto* combo = qobject_cast<QComboBox*>(editor)) {
        combo->setCurrentText(index.data(Qt::EditRole).toString());
        return;
    }
    auto* line = static_cast<QLineEdit*>(editor);
    if (line->isModified()) return;  // what is being typed stays, whatever its preview changes
    line->setText(index.data(Qt::EditRole).toString());
    line->selectAll();
}

void ValueCell::setModelData(QWidget* editor, QAbstractItemModel*, const QModelIndex& index) const
{
    const auto* combo = qobject_cast<QComboBox*>(editor);
    const auto* line = qobject_cast<QLineEdit*>(editor);
    if (!combo && (!line || !line->isModified())) return;
    const auto cell = model_.read(combo ? combo->currentText() : line->text(), index.row(), index.column());
    if (cell)
        emit committed(index.row(), index.column(), *cell);
    else
        emit refused(sentenceOf(model_, index.row(), index.column(), cell.error()));
}

void ValueCell::updateEditorGeometry(QWidget* editor, const QStyleOptionViewItem& option, const QModelIndex&) const
{
    editor->setGeometry(option.rect);
}

bool ValueCell::eventFilter(QObject* watched, QEvent* event)
{
    auto* line = qobject_cast<QLineEdit*>(watched);
    if (line && event->type() == QEvent::KeyPress && line->isModified()) {
        const int key = static_cast<QKeyEvent*>(event)->key();
        const bool leaves =
            key == Qt::Key_Return || key == Qt::Key_Enter || key == Qt::Key_Tab || key == Qt::Key_Backtab;
        const int row = line->property(rowProperty).toInt(), column = line->property(columnProperty).toInt();
        if (leaves && row < model_.rowCount())
            if (const auto cell = model_.read(line->text(), row, column); !cell) {
                setNotTaken(*line, true);
                emit refused(sentenceOf(model_, row, column, cell.error()));
                return true;
            }
    }
    return QStyledItemDelegate::eventFilter(watched, event);
}

}  // namespace portwright
