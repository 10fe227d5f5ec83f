// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/session/workbench.h"

#include "app/desktop/components/typing.h"
#include "app/desktop/session/housing_edits.h"
#include "plots/plot_palette.h"

#include <algorithm>

namespace portwright {

Workbench::Workbench(QObject* parent) : QObject(parent), computation_(document_)
{
    connect(&document_, &Document::replaced, this, [this] {
        choices_.clear();
        newcomer_.clear();
        emit chosenChanged();
    });
    connect(&computation_, &Computation::updated, this, [this] { atCursor_.clear(); });
}

std::optional<AtCursor> Workbench::atCursor(const HousingResult& result)
{
    if (!result.computed) return {};
    const auto known =
        atCursor_.find(result.computed);  // the map holds the result, so an address cannot come back as another
    if (known != atCursor_.end()) return known->second;
    return atCursor_.emplace(result.computed, valuesAt(*result.computed, cursor_)).first->second;
}

std::optional<std::size_t> Workbench::chosenIn(const Project& project) const
{
    if (project.housings.empty()) return {};
    for (auto id = choices_.rbegin(); id != choices_.rend(); ++id) {
        const auto found = std::find_if(project.housings.begin(), project.housings.end(),
                                        [&](const Housing& h) { return h.id == *id; });
        if (found != project.housings.end()) return std::size_t(found - project.housings.begin());
    }
    return 0;
}

const Housing* Workbench::chosenHousing() const
{
    const auto index = chosenIndex();
    return index ? &project().housings[*index] : nullptr;
}

QString Workbench::chosenLetter() const
{
    const auto index = chosenIndex();
    return index ? housingLetter(int(*index)) : QString();
}

QString Workbench::letterOf(const std::string& id) const
{
    for (std::size_t i = 0; i < project().housings.size(); ++i)
        if (project().housings[i].id == id) return housingLetter(int(i));
    return {};
}

const HousingResult* Workbench::chosenResult()
{
    const Housing* housing = chosenHousing();
    return housing ? computation_.find(housing->id) : nullptr;
}

void Workbench::choose(const std::string& id)
{
    if (!choices_.empty() && id == choices_.back()) return;
    commitTyping();
    if (choices_.empty() && !project().housings.empty()) choices_.push_back(project().housings.front().id);
    std::erase(choices_, id);  // what is kept is never longer than the housings there were
    choices_.push_back(id);
    emit chosenChanged();
}

const DriverSheet* Workbench::driverIn(const Project& project) const
{
    if (const auto index = chosenIn(project)) return findDriver(project, project.housings[*index].driver);
    return project.drivers.empty() ? nullptr : &project.drivers.back();
}

DriverSheet& Workbench::driverToEdit(Project& project) const
{
    if (const DriverSheet* found = driverIn(project))
        return project.drivers[std::size_t(found - project.drivers.data())];
    DriverSheet fresh;
    fresh.id = freshDriverId(project);
    fresh.name = tr("New driver").toStdString();
    project.drivers.push_back(fresh);
    return project.drivers.back();
}

bool Workbench::ownFeed() const
{
    const Housing* housing = chosenHousing();
    return housing && housing->feed;
}

const Feed& Workbench::feed() const
{
    static const Feed none;
    if (const Housing* housing = chosenHousing()) return feedOf(project(), *housing);
    return project().feed ? *project().feed : none;
}

Feed& Workbench::feedToEdit(Project& project) const
{
    if (const auto index = chosenIn(project); index && project.housings[*index].feed)
        return *project.housings[*index].feed;
    if (!project.feed) project.feed = Feed{};
    return *project.feed;
}

void Workbench::setCursor(double hertz)
{
    hertz = std::clamp(hertz, computedFrom, computedTo);
    if (hertz == cursor_) return;
    cursor_ = hertz;
    atCursor_.clear();
    emit cursorChanged(hertz);
}

void Workbench::setUnits(UnitSystem units)
{
    if (units == units_) return;
    units_ = units;
    computation_.setUnits(units);
    emit unitsChanged();
}

void Workbench::setUnfolded(const QString& key, bool open)
{
    if (open)
        unfolded_.insert(key);
    else
        unfolded_.remove(key);
}

}  // namespace portwright
