// SPDX-License-Identifier: GPL-3.0-or-later
// Title and notes of the job, in the place of a station's form.
#pragma once

#include "app/desktop/components/typing.h"
#include "app/desktop/session/workbench.h"

#include <QPlainTextEdit>
#include <QWidget>

namespace portwright {

class TextLine;

/// Several lines of text that are committed when they are left. Its Ctrl+Z goes to the window unless something is
/// being typed.
class NotesEdit : public QPlainTextEdit, public TypedInto {
    Q_OBJECT
public:
    explicit NotesEdit(QWidget* parent = nullptr);
    void commit();  ///< says committed if something was typed
    void commitTyped() override { commit(); }
    void showNotes(const QString& notes);  ///< what is being typed stays
    bool event(QEvent* event) override;

signals:
    void committed(const QString& notes);

protected:
    void focusOutEvent(QFocusEvent* event) override;
};

class NotesPage : public QWidget {
    Q_OBJECT
public:
    explicit NotesPage(Workbench& workbench, QWidget* parent = nullptr);

    void refresh();
    TextLine* titleLine() const { return title_; }
    NotesEdit* notes() const { return notes_; }

private:
    Workbench& workbench_;
    TextLine* title_;
    NotesEdit* notes_;
};

}  // namespace portwright
