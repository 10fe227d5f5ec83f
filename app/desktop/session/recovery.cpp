// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/recovery.h"

#include "core/document/project_file.h"

#include <QDir>
#include <QJsonDocument>
#include <QJsonObject>
#include <QUuid>

#include <algorithm>

namespace portwright {
namespace {

constexpr int usualInterval = 60'000;  // ms

int intervalFromEnvironment()
{
    bool read = false;
    const int ms = qEnvironmentVariableIntValue("PORTWRIGHT_RECOVERY_MS", &read);
    return read && ms > 0 ? ms : usualInterval;
}

std::shared_ptr<QLockFile> lockOf(const QString& file)
{
    auto lock = std::make_shared<QLockFile>(file + QStringLiteral(".lock"));
    lock->setStaleLockTime(0);  // only a dead owner frees it, not the time
    return lock->tryLock(0) ? lock : nullptr;
}

std::optional<LeftWork> readLeft(const QString& file)
{
    const auto bytes = readWhole(file, qint64(2 * projectFileSizeLimit));
    if (!bytes) return {};
    const QJsonObject object = QJsonDocument::fromJson(*bytes).object();
    if (object.value("format").toString() != QStringLiteral("portwright-recovery")) return {};
    auto loaded = parseProject(object.value("project").toString().toStdString());
    if (!loaded) return {};
    return LeftWork{.file = file,
                    .path = object.value("path").toString(),
                    .time = QDateTime::fromString(object.value("time").toString(), Qt::ISODate),
                    .project = std::move(loaded->project),
                    .lock = nullptr};
}

}  // namespace

Recovery::Recovery(Document& document, const QString& stateFolder, QObject* parent)
    : QObject(parent), document_(document), folder_(stateFolder + QStringLiteral("/recovery"))
{
    timer_.setSingleShot(true);
    timer_.setInterval(intervalFromEnvironment());
    connect(&timer_, &QTimer::timeout, this, &Recovery::writeNow);
    connect(&document_, &Document::projectChanged, this, &Recovery::changed);
    connect(&document_, &Document::unsavedChanged, this, &Recovery::changed);
}

Recovery::~Recovery() = default;

std::vector<LeftWork> Recovery::leftWork() const
{
    std::vector<LeftWork> found;
    for (const QString& name : QDir(folder_).entryList({QStringLiteral("*.recovery")}, QDir::Files)) {
        const QString file = folder_ + QLatin1Char('/') + name;
        if (file == file_) continue;
        auto lock = lockOf(file);
        if (!lock) continue;
        if (auto left = readLeft(file)) {
            left->lock = std::move(lock);
            found.push_back(std::move(*left));
        }
    }
    std::sort(found.begin(), found.end(), [](const LeftWork& a, const LeftWork& b) { return a.time > b.time; });
    return found;
}

void Recovery::adopt(const LeftWork& left)
{
    forget();
    file_ = left.file;
    lock_ = left.lock;
    path_ = left.path;
}

void Recovery::discard(const LeftWork& left)
{
    QFile::remove(left.file);
    if (left.lock) left.lock->unlock();
}

void Recovery::forget()
{
    timer_.stop();
    dirty_ = false;
    if (!file_.isEmpty()) QFile::remove(file_);
    if (lock_) lock_->unlock();
    lock_.reset();
    file_.clear();
}

void Recovery::changed()
{
    if (!document_.unsaved()) return;
    dirty_ = true;
    if (!timer_.isActive()) timer_.start();
}

bool Recovery::holdFile()
{
    if (!file_.isEmpty()) return true;
    QDir().mkpath(folder_);
    const QString file =
        folder_ + QLatin1Char('/') + QUuid::createUuid().toString(QUuid::WithoutBraces) + QStringLiteral(".recovery");
    lock_ = lockOf(file);
    if (lock_) file_ = file;
    return lock_ != nullptr;
}

bool Recovery::writeNow()
{
    if (!dirty_ || !document_.unsaved()) return true;
    bool written = holdFile();
    if (written) {
        const QJsonObject object{{"format", "portwright-recovery"},
                                 {"path", path_},
                                 {"time", QDateTime::currentDateTime().toString(Qt::ISODate)},
                                 {"project", QString::fromStdString(projectText(document_.project()))}};
        written = writeWholeFile(file_, QJsonDocument(object).toJson()).has_value();
    }
    dirty_ = !written;
    if (!written && !told_) {
        told_ = true;
        emit writeFailed(tr("Unsaved work cannot be kept for a crash: %1 cannot be written. Save often.").arg(folder_));
    }
    return written;
}

}  // namespace portwright
