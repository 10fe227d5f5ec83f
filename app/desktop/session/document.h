// SPDX-License-Identifier: GPL-3.0-or-later
// The open project and its history. Only edit() changes it, each time by one named undo step.
#pragma once

#include "core/document/project.h"

#include <QObject>
#include <QString>
#include <QUndoStack>

#include <functional>
#include <optional>

namespace portwright {

class Document : public QObject {
    Q_OBJECT
public:
    using Change = std::function<void(Project&)>;

    explicit Document(QObject* parent = nullptr);

    const Project& project() const { return project_; }                       ///< as committed
    const Project& shown() const { return preview_ ? *preview_ : project_; }  ///< with the preview, if there is one
    bool previewing() const { return preview_.has_value(); }

    /// One undo step. The result is normalised, so that saving and loading gives the same project back. Steps with the
    /// same key merge until closeEdit(); an empty key never merges. A change that changes nothing makes no step.
    void edit(const QString& name, const QString& mergeKey, const Change& change);
    void edit(const QString& name, const Change& change) { edit(name, {}, change); }
    void closeEdit() { ++editNumber_; }

    /// Shows what a change would give, without making it: typed text, a housing that is not added yet.
    void preview(const Change& change);
    void endPreview();

    /// Replaces everything: another project is open, its history is empty.
    void replace(Project project, bool unsaved);
    void markSaved();

    bool unsaved() const { return !history_.isClean(); }
    QUndoStack& history() { return history_; }

signals:
    void projectChanged();  ///< the committed project is another one
    void shownChanged();    ///< shown() is another one
    void unsavedChanged(bool unsaved);
    void replaced();

private:
    friend class ProjectStep;
    void put(const Project& project);

    Project project_;
    std::optional<Project> preview_;
    QUndoStack history_;
    int editNumber_ = 0;
};

}  // namespace portwright
