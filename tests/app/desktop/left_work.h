// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

namespace portwright {

/// Opens (or starts) a project, changes it, writes recovery data when due, and never ends by itself.
int workUntilKilled(const QString& stateFolder, const QString& project);

}  // namespace portwright
