// SPDX-License-Identifier: GPL-3.0-or-later
// Where the program keeps what is its own. Nothing is ever written beside a project without being asked.
#pragma once

#include "core/result.h"

#include <QByteArray>
#include <QString>

namespace portwright {

struct Folders {
    QString preferences;  ///< what the user chose
    QString state;        ///< window layout, recent files, recovery, locks
};

/// XDG_STATE_HOME and the configuration folder of the desktop, each with a folder of our own inside.
Folders standardFolders();

/// A file's bytes, or a sentence on why not. Never more than `limit` bytes.
Result<QByteArray> readWhole(const QString& path, qint64 limit);

/// core's writeWhole() with Qt's strings; makes the folder first.
Result<void> writeWholeFile(const QString& path, const QByteArray& bytes);

}  // namespace portwright
