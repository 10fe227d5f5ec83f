// SPDX-License-Identifier: GPL-3.0-or-later
// What every part of the window shares: the open project, its results, the chosen housing, the one cursor, the units.
#pragma once

#include "app/desktop/session/computation.h"
#include "app/desktop/session/document.h"
#include "core/quantity/quantity.h"

#include <QObject>
#include <QSet>
#include <QString>

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace portwright {

class Workbench : public QObject {
    Q_OBJECT
public:
    explicit Workbench(QObject* parent = nullptr);

    Document& document() { return document_; }
    const Document& document() const { return document_; }
    Computation& computation() { return computation_; }
    const Project& project() const { return document_.project(); }

    /// Index of the chosen housing, none if the project has no housing. The choice is kept by id; once
    /// that housing is gone (undone), the one chosen before it is the chosen one again.
    std::optional<std::size_t> chosenIndex() const { return chosenIn(project()); }
    std::optional<std::size_t> chosenIn(const Project& project) const;
    const Housing* chosenHousing() const;
    QString chosenLetter() const;  ///< "B", empty if there is none
    const HousingResult* chosenResult();
    void choose(const std::string& id);

    /// Exact values at the cursor, the same for charts, cards, cuts and table. None if the housing cannot be computed.
    std::optional<AtCursor> atCursor(const HousingResult& result);

    /// The driver that the editor speaks of: the chosen housing's, or the one last entered. Null if there is none.
    const DriverSheet* driver() const { return driverIn(project()); }
    const DriverSheet* driverIn(const Project& project) const;
    DriverSheet& driverToEdit(Project& project) const;  ///< made if there is none yet

    /// The feed that Radio and Amplifier speak of: the chosen housing's own, or the project's (made if absent).
    bool ownFeed() const;
    const Feed& feed() const;
    Feed& feedToEdit(Project& project) const;

    double cursor() const { return cursor_; }  ///< Hz
    void setCursor(double hertz);              ///< clamped to the computed range
    UnitSystem units() const { return units_; }
    void setUnits(UnitSystem units);

    /// Id of a housing shown as a dotted preview because it is not added yet; empty if there is none.
    const std::string& newcomer() const { return newcomer_; }
    void setNewcomer(const std::string& id) { newcomer_ = id; }

    /// Groups of rows that the user has unfolded, by key; as long as the window lives.
    bool unfolded(const QString& key) const { return unfolded_.contains(key); }
    void setUnfolded(const QString& key, bool open);

    QString letterOf(const std::string& id) const;

    /// Where the open project lies, empty while it was never saved: files it names are found from there.
    const QString& projectFolder() const { return projectFolder_; }
    void setProjectFolder(const QString& folder) { projectFolder_ = folder; }

signals:
    void chosenChanged();
    void cursorChanged(double hertz);
    void unitsChanged();
    void jumpWanted(int station, QString field);  ///< show a station's editor and mark a value there
    void measureWanted();                         ///< show the page that measures the chosen housing's cavity
    void findWanted();                            ///< show the page that finds a port for the chosen housing
    void partsWanted();                           ///< show what the chosen housing's ports are made of
    void helpWanted(QString topic);

private:
    Document document_;
    Computation computation_;
    std::string newcomer_;
    std::vector<std::string> choices_;  ///< ids in the order chosen; the last that there is holds
    QString projectFolder_;
    QSet<QString> unfolded_;
    double cursor_ = 80;
    std::map<std::shared_ptr<const Computed>, std::optional<AtCursor>> atCursor_;
    UnitSystem units_ = UnitSystem::metric;
};

}  // namespace portwright
