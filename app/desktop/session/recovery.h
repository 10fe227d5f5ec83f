// SPDX-License-Identifier: GPL-3.0-or-later
// What is left after a crash: unsaved work is written to the state folder a minute after the first change and then
// every minute while it changes, with its path and time, and offered when the program starts again.
#pragma once

#include "app/desktop/session/document.h"
#include "app/desktop/session/folders.h"

#include <QDateTime>
#include <QLockFile>
#include <QTimer>

#include <memory>
#include <vector>

namespace portwright {

/// Unsaved work that nobody is holding any more.
struct LeftWork {
    QString file;    ///< the recovery file itself
    QString path;    ///< of the project; empty if it was never saved
    QDateTime time;  ///< when it was written
    Project project;
    std::shared_ptr<QLockFile> lock;  ///< ours while the user decides
};

class Recovery : public QObject {
    Q_OBJECT
public:
    /// interval in ms; 60 s unless the environment variable PORTWRIGHT_RECOVERY_MS says otherwise (for tests).
    Recovery(Document& document, const QString& stateFolder, QObject* parent = nullptr);
    ~Recovery() override;

    /// The newest first. Files held by a running program, and unreadable ones, are left alone.
    std::vector<LeftWork> leftWork() const;

    void setPath(const QString& path) { path_ = path; }  ///< of the project now open
    void adopt(const LeftWork& left);                    ///< its file becomes ours: it stays until saved or given up
    static void discard(const LeftWork& left);           ///< the user's decision
    void forget();                                       ///< saved, or closed by decision: our file goes
    bool writeNow();                                     ///< false if it could not be written
    QString file() const { return file_; }

signals:
    void writeFailed(QString sentence);

private:
    void changed();
    bool holdFile();

    Document& document_;
    QString folder_, path_, file_;
    std::shared_ptr<QLockFile> lock_;
    QTimer timer_;
    bool dirty_ = false;
    bool told_ = false;
};

}  // namespace portwright
