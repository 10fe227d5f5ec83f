// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/window/notes_page.h"

#include "app/desktop/components/measures.h"
#include "app/desktop/components/small_parts.h"

#include <QFocusEvent>
#include <QKeyEvent>
#include <QVBoxLayout>

namespace portwright {

NotesEdit::NotesEdit(QWidget* parent) : QPlainTextEdit(parent)
{
    setTabChangesFocus(true);
    setFrameShape(QFrame::StyledPanel);
}

void NotesEdit::commit()
{
    if (!document()->isModified()) return;
    const QString typed = toPlainText();
    document()->setModified(false);
    document()->clearUndoRedoStacks();  // what was typed is done with: Ctrl+Z is the window's again
    emit committed(typed);
}

void NotesEdit::showNotes(const QString& notes)
{
    if (document()->isModified() || toPlainText() == notes) return;
    setPlainText(notes);
}

bool NotesEdit::event(QEvent* event)
{
    if (event->type() == QEvent::ShortcutOverride) {
        const auto* key = static_cast<QKeyEvent*>(event);
        const bool history = key->matches(QKeySequence::Undo) || key->matches(QKeySequence::Redo);
        if (history && !(document()->isModified() && document()->isUndoAvailable())) {
            event->ignore();
            return false;
        }
    }
    return QPlainTextEdit::event(event);
}

void NotesEdit::focusOutEvent(QFocusEvent* event)
{
    QPlainTextEdit::focusOutEvent(event);
    if (event->reason() != Qt::PopupFocusReason) commit();
}

NotesPage::NotesPage(Workbench& workbench, QWidget* parent)
    : QWidget(parent), workbench_(workbench), title_(new TextLine), notes_(new NotesEdit)
{
    setAccessibleName(tr("Job notes"));
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(px(14), px(10), px(14), px(10));
    column->setSpacing(px(6));
    column->addWidget(new LetteredLabel(tr("Job"), Letters::stationTitle));
    column->addWidget(new DimLabel(tr("Title")));
    column->addWidget(title_);
    column->addWidget(new DimLabel(tr("Notes")));
    column->addWidget(notes_, 1);
    title_->setMaxLength(120);
    title_->setAccessibleName(tr("Title"));
    notes_->setAccessibleName(tr("Notes"));
    connect(title_, &QLineEdit::editingFinished, this, [this] {
        const std::string typed = title_->text().trimmed().toStdString();
        title_->setText(QString::fromStdString(typed));
        workbench_.document().edit(tr("Change Title"), [&](Project& p) { p.title = typed; });
    });
    connect(notes_, &NotesEdit::committed, this, [this](const QString& typed) {
        workbench_.document().edit(tr("Change Notes"), [&](Project& p) { p.notes = typed.toStdString(); });
    });
    connect(&workbench_.document(), &Document::projectChanged, this, &NotesPage::refresh);
}

void NotesPage::refresh()
{
    const QString title = QString::fromStdString(workbench_.project().title);
    if (title_->text() != title && !(title_->hasFocus() && title_->isModified())) title_->setText(title);
    notes_->showNotes(QString::fromStdString(workbench_.project().notes));
}

}  // namespace portwright
