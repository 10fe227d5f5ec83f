// SPDX-License-Identifier: GPL-3.0-or-later
// What the user chose (preferences) and how the window stood (state): two small files, each value checked on reading.
#pragma once

#include "app/desktop/session/folders.h"
#include "core/quantity/quantity.h"

#include <QByteArray>
#include <QList>
#include <QStringList>

namespace portwright {

enum class ThemeChoice { system, light, dark };

struct Preferences {
    UnitSystem units = UnitSystem::metric;
    ThemeChoice theme = ThemeChoice::system;
    bool reduceMotion = false;
    bool uncertaintyBands = false;  ///< drawn about the charts' curves
    int hintsSeen = 0;              ///< 0..3, how many first hints were read
    bool operator==(const Preferences&) const = default;
};

struct WindowState {
    QByteArray geometry;
    QList<int> columns, rows;  ///< splitter sizes, px; empty: as laid out
    QStringList recent;
    int station = 2;  ///< 0..5
    bool operator==(const WindowState&) const = default;
};

/// `damaged` is a sentence if the file could not be used; the values are then the defaults.
template <class T> struct ReadSettings {
    T value;
    QString damaged;
};

ReadSettings<Preferences> readPreferences(const Folders& folders);
ReadSettings<WindowState> readWindowState(const Folders& folders);
Result<void> writePreferences(const Folders& folders, const Preferences& preferences);
Result<void> writeWindowState(const Folders& folders, const WindowState& state);

}  // namespace portwright
