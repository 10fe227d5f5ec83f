// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/document.h"

#include "core/document/project_file.h"

#include <QUndoCommand>

#include <utility>

namespace portwright {

/// Projects are small values, so a step keeps both whole: undo is putting the former one back.
class ProjectStep : public QUndoCommand {
public:
    ProjectStep(Document& document, const QString& name, QString key, int editNumber, Project before, Project after)
        : QUndoCommand(name), document_(document), key_(std::move(key)), editNumber_(editNumber),
          before_(std::move(before)), after_(std::move(after))
    {
    }
    int id() const override { return key_.isEmpty() ? -1 : 1; }
    bool mergeWith(const QUndoCommand* next) override
    {
        const auto& later = static_cast<const ProjectStep&>(*next);  // id() has made sure of the type
        if (later.key_ != key_ || later.editNumber_ != editNumber_) return false;
        after_ = later.after_;
        setObsolete(after_ == before_);  // back where it began
        return true;
    }
    void undo() override { document_.put(before_); }
    void redo() override { document_.put(after_); }

private:
    Document& document_;
    QString key_;
    int editNumber_;
    Project before_, after_;
};

Document::Document(QObject* parent) : QObject(parent)
{
    connect(&history_, &QUndoStack::cleanChanged, this, [this](bool clean) { emit unsavedChanged(!clean); });
}

void Document::edit(const QString& name, const QString& mergeKey, const Change& change)
{
    Project after = project_;
    change(after);
    after = normalised(after);
    const bool hadPreview = preview_.has_value();
    preview_.reset();
    if (after != project_)
        history_.push(new ProjectStep(*this, name, mergeKey, editNumber_, project_, std::move(after)));
    else if (hadPreview)
        emit shownChanged();
}

void Document::preview(const Change& change)
{
    Project next = project_;
    change(next);
    if (preview_ == next) return;
    preview_ = std::move(next);
    emit shownChanged();
}

void Document::endPreview()
{
    if (!preview_) return;
    const bool differs = *preview_ != project_;
    preview_.reset();
    if (differs) emit shownChanged();
}

void Document::replace(Project project, bool isUnsaved)
{
    preview_.reset();
    history_.clear();
    project_ = std::move(project);
    if (isUnsaved) history_.resetClean();
    emit replaced();
    emit projectChanged();
    emit shownChanged();
    emit unsavedChanged(unsaved());
}

void Document::markSaved()
{
    closeEdit();  // what follows the saving is a step of its own
    history_.setClean();
}

void Document::put(const Project& project)
{
    preview_.reset();
    project_ = project;
    emit projectChanged();
    emit shownChanged();
}

}  // namespace portwright
