// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/project_files.h"

#include "core/document/project_file.h"

#include <QCryptographicHash>
#include <QDir>
#include <QFileInfo>

namespace portwright {
namespace {

const QString suffix = QStringLiteral(".portwright");

/// "lower.portwright, /housings/1: found; allowed", with the file's name rather than its whole path.
QString placeAndMessage(const Error& error, const QString& path)
{
    QString where = QString::fromStdString(error.field);
    where.replace(path, QFileInfo(path).fileName());
    if (where.isEmpty()) where = QFileInfo(path).fileName();
    QString message = QString::fromStdString(error.message);
    while (message.endsWith(QLatin1Char('.')))
        message.chop(1);
    return where.contains(QLatin1Char('/')) ? where + QLatin1Char(' ') + message
                                            : where + QStringLiteral(": ") + message;
}

}  // namespace

ProjectFiles::ProjectFiles(Document& document, Recovery& recovery, const QString& stateFolder, QObject* parent)
    : QObject(parent), document_(document), recovery_(recovery), stateFolder_(stateFolder)
{
    connect(&watcher_, &QFileSystemWatcher::fileChanged, this, &ProjectFiles::check);
}

ProjectFiles::~ProjectFiles() = default;

QString ProjectFiles::name() const { return path_.isEmpty() ? tr("Untitled") : QFileInfo(path_).fileName(); }

QString ProjectFiles::withSuffix(const QString& path)
{
    return path.endsWith(suffix, Qt::CaseInsensitive) ? path : path + suffix;
}

ProjectFiles::Stamp ProjectFiles::stampOf(const QString& path)
{
    const QFileInfo info(path);
    return {.exists = info.exists(), .size = info.size(), .changed = info.lastModified()};
}

bool ProjectFiles::open(const QString& path)
{
    const QString whole = QFileInfo(path).absoluteFilePath();
    const Stamp before = stampOf(whole);
    auto loaded = readProject(QFile::encodeName(whole).toStdString());
    if (!loaded) {
        emit notOpened(
            tr("Not opened: %1. The open project is unchanged.").arg(placeAndMessage(loaded.error(), whole)));
        return false;
    }
    recovery_.forget();
    settle(whole);
    stamp_ = before;
    fileVersion_ = loaded->fileVersion;
    savedAt_ = before.changed;
    document_.replace(std::move(loaded->project), false);
    QStringList notes;
    for (const Error& warning : loaded->warnings)
        notes << tr("Note: %1.").arg(placeAndMessage(warning, whole));
    if (fileVersion_ < projectFileVersion)
        notes << tr("Note: %1 was written in the older version %2; a copy of it is kept at the first save.")
                     .arg(name())
                     .arg(fileVersion_);
    if (!notes.isEmpty()) emit noted(notes);
    return true;
}

void ProjectFiles::startNew(Project project)
{
    recovery_.forget();
    settle({});
    savedAt_.reset();
    document_.replace(std::move(project), false);
}

bool ProjectFiles::openAsCopy(const QString& path, const QString& title)
{
    const auto bytes = readWhole(path, qint64(projectFileSizeLimit));  // may be one of the program's resources
    auto loaded = bytes ? parseProject(bytes->toStdString()) : Result<LoadedProject>(fail(bytes.error()));
    if (!loaded) {
        emit notOpened(tr("Not opened: %1. The open project is unchanged.").arg(placeAndMessage(loaded.error(), path)));
        return false;
    }
    if (loaded->project.title.empty()) loaded->project.title = title.toStdString();
    startNew(std::move(loaded->project));
    return true;
}

void ProjectFiles::takeUp(const LeftWork& left)
{
    recovery_.adopt(left);
    settle(left.path);
    savedAt_.reset();
    document_.replace(left.project, true);
}

void ProjectFiles::settle(const QString& path)
{
    if (!watcher_.files().isEmpty()) watcher_.removePaths(watcher_.files());
    lock_.reset();
    path_ = path;
    told_ = false;
    fileVersion_ = projectFileVersion;
    stamp_ = stampOf(path);
    recovery_.setPath(path);
    if (!path.isEmpty()) {
        watcher_.addPath(path);
        QDir().mkpath(stateFolder_ + QStringLiteral("/locks"));
        const QString real = QFileInfo(path).canonicalFilePath();
        const QByteArray key =
            QCryptographicHash::hash((real.isEmpty() ? path : real).toUtf8(), QCryptographicHash::Sha1).toHex();
        lock_ = std::make_unique<QLockFile>(stateFolder_ + QStringLiteral("/locks/") + QString::fromLatin1(key) +
                                            QStringLiteral(".lock"));
        lock_->setStaleLockTime(0);
        if (!lock_->tryLock(0) && lock_->error() == QLockFile::LockFailedError) emit openElsewhere(path);
        QStringList recent = recent_;
        recent.removeAll(path);
        recent.prepend(path);
        setRecent(recent);
    }
    emit pathChanged(path);
}

bool ProjectFiles::keepFormer()
{
    const QString stem = path_.left(path_.size() - (path_.endsWith(suffix) ? suffix.size() : 0));
    const QString copy = stem + QStringLiteral(".v%1").arg(fileVersion_) + suffix;
    if (QFileInfo::exists(copy)) return true;  // kept at an earlier save
    const auto former = readWhole(path_, qint64(projectFileSizeLimit));
    if (!former) return !QFileInfo::exists(path_);  // nothing there any more to keep
    if (const auto written = writeWholeFile(copy, *former); !written) {
        emit notSaved(tr("Not saved: the copy of the older file, %1. Nothing was changed; save elsewhere.")
                          .arg(placeAndMessage(written.error(), copy)));
        return false;
    }
    return true;
}

bool ProjectFiles::write(const QString& path)
{
    const std::string text = projectText(document_.project());
    const auto written = writeWholeFile(path, QByteArray::fromRawData(text.data(), qsizetype(text.size())));
    if (!written) {
        emit notSaved(tr("Not saved: %1. The old file is whole.").arg(placeAndMessage(written.error(), path)));
        return false;
    }
    return true;
}

bool ProjectFiles::save(Overwrite overwrite)
{
    if (path_.isEmpty()) return false;
    if (overwrite == Overwrite::ask && changedOutside() && stampOf(path_).exists) {
        told_ = true;
        emit changedOnDisk(false);
        return false;
    }
    if (fileVersion_ < projectFileVersion && !keepFormer()) return false;
    if (!write(path_)) return false;
    fileVersion_ = projectFileVersion;
    stamp_ = stampOf(path_);
    told_ = false;
    savedAt_ = QDateTime::currentDateTime();
    if (!watcher_.files().contains(path_)) watcher_.addPath(path_);  // renaming over it ended the watch
    document_.markSaved();
    recovery_.forget();
    emit saved(path_);
    return true;
}

bool ProjectFiles::saveAs(const QString& path)
{
    const QString whole = QFileInfo(withSuffix(path)).absoluteFilePath();
    if (!write(whole)) return false;
    if (whole != path_) settle(whole);
    return save(Overwrite::yes);
}

bool ProjectFiles::changedOutside() const { return !path_.isEmpty() && stampOf(path_) != stamp_; }

void ProjectFiles::check()
{
    if (path_.isEmpty()) return;
    const bool exists = QFileInfo::exists(path_);
    if (exists && !watcher_.files().contains(path_)) watcher_.addPath(path_);
    if (!changedOutside() || told_) return;
    told_ = true;
    emit changedOnDisk(!exists);
}

void ProjectFiles::keepMine()
{
    stamp_ = stampOf(path_);
    told_ = false;
}

void ProjectFiles::setRecent(const QStringList& paths)
{
    const QStringList kept = paths.mid(0, recentLimit);
    if (kept == recent_) return;
    recent_ = kept;
    emit recentChanged(recent_);
}

void ProjectFiles::forgetRecent(const QString& path)
{
    QStringList rest = recent_;
    rest.removeAll(path);
    setRecent(rest);
}

}  // namespace portwright
