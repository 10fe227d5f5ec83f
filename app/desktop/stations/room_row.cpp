// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/stations/room_row.h"

#include "app/desktop/components/quantity_box.h"
#include "core/document/fields.h"

#include <algorithm>

namespace portwright {
namespace {

void put(Cavity& cavity, std::optional<double> RoomForPort::* size, std::optional<double> si)
{
    RoomForPort room = cavity.roomForPort.value_or(RoomForPort{});
    room.*size = si;
    cavity.roomForPort = room == RoomForPort{} ? std::nullopt : std::optional(room);
}

template <class AnyProject> auto* housingOf(AnyProject& project, const CavityMeant& meant)
{
    const auto found = std::find_if(project.housings.begin(), project.housings.end(),
                                    [&](const Housing& housing) { return housing.id == meant.housing; });
    return found == project.housings.end() ? nullptr : &*found;
}

}  // namespace

RoomRow roomRow(Workbench& workbench, const RoomSize& size, const std::function<CavityMeant()>& meant)
{
    const FieldInfo& info = *fieldInfo("room_for_port", size.key);
    auto* row = new FieldRow(size.label, info.dimension);
    row->box()->setRangeSi(info.min / info.perSi, info.max / info.perSi);
    row->box()->setOptional(true);
    row->setMeaning(size.meaning);
    row->setHelpTopic(QStringLiteral("search#fields"));
    row->setUnitSystem(workbench.units());
    QObject::connect(&workbench, &Workbench::unitsChanged, row,
                     [&workbench, row] { row->setUnitSystem(workbench.units()); });
    const auto commit = [&workbench, size, meant](std::optional<double> si) {
        workbench.document().edit(FieldRow::tr("Change %1").arg(size.label), [&](Project& project) {
            const CavityMeant cavity = meant();
            if (Housing* housing = housingOf(project, cavity)) put(cavityOf(*housing, cavity.opening), size.size, si);
        });
    };
    QObject::connect(row->box(), &QuantityBox::committed, row, [commit](double si) { commit(si); });
    QObject::connect(row->box(), &QuantityBox::cleared, row, [commit] { commit({}); });
    return {row, [&workbench, row, size, meant] {
                const CavityMeant cavity = meant();
                const Housing* housing = housingOf(workbench.project(), cavity);
                row->setEnabled(housing != nullptr);
                const auto room = housing ? cavityOf(*housing, cavity.opening).roomForPort : std::nullopt;
                row->box()->setSi(room ? (*room).*(size.size) : std::nullopt);
            }};
}

}  // namespace portwright
