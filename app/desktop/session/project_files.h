// SPDX-License-Identifier: GPL-3.0-or-later
// The open project's file: opening, saving, noticing others. Whatever fails says what, why and what to do, and
// leaves both the open project and the file as they were.
#pragma once

#include "app/desktop/session/document.h"
#include "app/desktop/session/folders.h"
#include "app/desktop/session/recovery.h"

#include <QDateTime>
#include <QFileSystemWatcher>
#include <QLockFile>
#include <QStringList>

#include <memory>
#include <optional>

namespace portwright {

class ProjectFiles : public QObject {
    Q_OBJECT
public:
    static constexpr int recentLimit = 10;

    ProjectFiles(Document& document, Recovery& recovery, const QString& stateFolder, QObject* parent = nullptr);
    ~ProjectFiles() override;

    QString path() const { return path_; }  ///< empty: never saved
    QString name() const;                   ///< file name, or "Untitled"
    std::optional<QDateTime> savedAt() const { return savedAt_; }

    bool open(const QString& path);       ///< false: notOpened(...) said why, nothing has changed
    void startNew(Project project = {});  ///< a project without a file
    bool openAsCopy(const QString& path, const QString& title);  ///< a sample: no path, so it cannot be overwritten
    void takeUp(const LeftWork& left);                           ///< recovered work, still unsaved

    enum class Overwrite { ask, yes };
    bool save(Overwrite overwrite = Overwrite::ask);  ///< needs a path; false: notSaved or changed outside
    bool saveAs(const QString& path);                 ///< adds the suffix if there is none
    static QString withSuffix(const QString& path);

    bool changedOutside() const;  ///< looks now
    void check();                 ///< the same, telling by signal; called when the window comes forward
    void keepMine();              ///< the user's answer: what is on the disk is known and not wanted

    QStringList recent() const { return recent_; }
    void setRecent(const QStringList& paths);
    void forgetRecent(const QString& path);

signals:
    void pathChanged(QString path);
    void saved(QString path);
    void notOpened(QString sentence);   ///< "Not opened: ..."
    void notSaved(QString sentence);    ///< "Not saved: ..."
    void noted(QStringList sentences);  ///< warnings of the file just opened
    void changedOnDisk(bool gone);
    void openElsewhere(QString path);  ///< another window holds this project
    void recentChanged(QStringList paths);

private:
    struct Stamp {
        bool exists = false;
        qint64 size = 0;
        QDateTime changed;
        bool operator==(const Stamp&) const = default;
    };
    static Stamp stampOf(const QString& path);
    void settle(const QString& path);  ///< path, lock, watch, recent
    bool write(const QString& path);
    bool keepFormer();  ///< copy of an older version before the first save over it

    Document& document_;
    Recovery& recovery_;
    QString stateFolder_, path_;
    QFileSystemWatcher watcher_;
    std::unique_ptr<QLockFile> lock_;
    Stamp stamp_;
    bool told_ = false;    ///< of the present outside change
    int fileVersion_ = 0;  ///< version of the file at path_ when it was opened
    std::optional<QDateTime> savedAt_;
    QStringList recent_;
};

}  // namespace portwright
