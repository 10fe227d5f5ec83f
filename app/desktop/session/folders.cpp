// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/folders.h"

#include "core/document/whole_file.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QStandardPaths>

namespace portwright {

Folders standardFolders()
{
    const auto below = [](const QString& folder) { return folder + QStringLiteral("/portwright"); };
    const QString stateHome = qEnvironmentVariable("XDG_STATE_HOME");
    const QString generic = QStandardPaths::writableLocation(QStandardPaths::GenericDataLocation);
    return {.preferences = below(QStandardPaths::writableLocation(QStandardPaths::GenericConfigLocation)),
            .state = below(QDir::isAbsolutePath(stateHome) ? stateHome : generic)};
}

Result<QByteArray> readWhole(const QString& path, qint64 limit)
{
    const std::string name = path.toStdString();
    QFile file(path);
    if (!QFileInfo::exists(path)) return fail(name, "there is no such file");
    if (!file.open(QIODevice::ReadOnly)) return fail(name, "the file cannot be read; check its rights");
    const QByteArray bytes = file.read(limit + 1);
    if (file.error() != QFileDevice::NoError)
        return fail(name, "the file cannot be read whole: " + file.errorString().toStdString());
    if (bytes.size() > limit) return fail(name, "the file is larger than " + std::to_string(limit >> 20) + " MB");
    return bytes;
}

Result<void> writeWholeFile(const QString& path, const QByteArray& bytes)
{
    QDir().mkpath(QFileInfo(path).absolutePath());
    return writeWhole(QFile::encodeName(path).toStdString(),
                      std::string_view(bytes.constData(), std::size_t(bytes.size())));
}

}  // namespace portwright
