// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/preferences.h"

#include <QCoreApplication>
#include <QFileInfo>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>

namespace portwright {
namespace {

constexpr qint64 sizeLimit = 1 << 20;  // bytes

QString preferencesFile(const Folders& folders) { return folders.preferences + QStringLiteral("/preferences.json"); }
QString stateFile(const Folders& folders) { return folders.state + QStringLiteral("/window.json"); }

struct ReadObject {
    QJsonObject object;
    bool damaged = false;
};

ReadObject readObject(const QString& path)
{
    if (!QFileInfo::exists(path)) return {};
    const auto bytes = readWhole(path, sizeLimit);
    if (!bytes) return {{}, true};
    QJsonParseError error;
    const QJsonDocument document = QJsonDocument::fromJson(*bytes, &error);
    if (error.error != QJsonParseError::NoError || !document.isObject()) return {{}, true};
    return {document.object(), false};
}

/// Reads values of one object and notes whether any was of the wrong kind or out of its range.
class CheckedReader {
public:
    explicit CheckedReader(ReadObject read) : object_(std::move(read.object)), damaged(read.damaged) {}

    int integer(const char* key, int fallback, int least, int most)
    {
        const QJsonValue value = object_.value(QLatin1String(key));
        if (value.isUndefined()) return fallback;
        const int number = value.toInt(least - 1);
        if (number >= least && number <= most) return number;
        damaged = true;
        return fallback;
    }
    bool flag(const char* key)
    {
        const QJsonValue value = object_.value(QLatin1String(key));
        if (!value.isUndefined() && !value.isBool()) damaged = true;
        return value.toBool(false);
    }
    QJsonArray array(const char* key)
    {
        const QJsonValue value = object_.value(QLatin1String(key));
        if (!value.isUndefined() && !value.isArray()) damaged = true;
        return value.toArray();
    }
    QList<int> sizes(const char* key)
    {
        QList<int> found;
        for (const auto& value : array(key)) {
            const int size = value.toInt(-1);
            if (size < 0 || size > 20'000) {
                damaged = true;
                return {};
            }
            found << size;
        }
        return found;
    }
    QStringList texts(const char* key)
    {
        QStringList found;
        for (const auto& value : array(key))
            if (value.isString()) found << value.toString();
        return found;
    }
    QByteArray bytes(const char* key)
    {
        return QByteArray::fromBase64(object_.value(QLatin1String(key)).toString().toLatin1());
    }

private:
    QJsonObject object_;

public:
    bool damaged;
};

QString damagedSentence(const QString& file)
{
    return QCoreApplication::translate(
               "Settings", "Note: the settings in %1 were damaged; what could not be read is back to its default.")
        .arg(file);
}

QJsonArray numbers(const QList<int>& values)
{
    QJsonArray array;
    for (int value : values)
        array << value;
    return array;
}

}  // namespace

ReadSettings<Preferences> readPreferences(const Folders& folders)
{
    CheckedReader read(readObject(preferencesFile(folders)));
    Preferences p;
    p.units = read.integer("units", 0, 0, 1) == 1 ? UnitSystem::us : UnitSystem::metric;
    p.theme = static_cast<ThemeChoice>(read.integer("theme", 0, 0, 2));
    p.reduceMotion = read.flag("reduce_motion");
    p.uncertaintyBands = read.flag("uncertainty_bands");
    p.hintsSeen = read.integer("hints_seen", 0, 0, 3);
    return {p, read.damaged ? damagedSentence(preferencesFile(folders)) : QString()};
}

Result<void> writePreferences(const Folders& folders, const Preferences& p)
{
    const QJsonObject object{{"units", p.units == UnitSystem::us ? 1 : 0},
                             {"theme", static_cast<int>(p.theme)},
                             {"reduce_motion", p.reduceMotion},
                             {"uncertainty_bands", p.uncertaintyBands},
                             {"hints_seen", p.hintsSeen}};
    return writeWholeFile(preferencesFile(folders), QJsonDocument(object).toJson());
}

ReadSettings<WindowState> readWindowState(const Folders& folders)
{
    CheckedReader read(readObject(stateFile(folders)));
    WindowState s;
    s.geometry = read.bytes("geometry");
    s.columns = read.sizes("columns");
    s.rows = read.sizes("rows");
    s.recent = read.texts("recent").mid(0, 10);
    s.station = read.integer("station", 2, 0, 5);
    return {s, read.damaged ? damagedSentence(stateFile(folders)) : QString()};
}

Result<void> writeWindowState(const Folders& folders, const WindowState& s)
{
    const QJsonObject object{{"geometry", QString::fromLatin1(s.geometry.toBase64())},
                             {"columns", numbers(s.columns)},
                             {"rows", numbers(s.rows)},
                             {"recent", QJsonArray::fromStringList(s.recent)},
                             {"station", s.station}};
    return writeWholeFile(stateFile(folders), QJsonDocument(object).toJson());
}

}  // namespace portwright
