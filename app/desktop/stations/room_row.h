// SPDX-License-Identifier: GPL-3.0-or-later
// Fields for the room that a cavity leaves for a port. Find and Parts have them both; the job keeps what is typed.
#pragma once

#include "app/desktop/components/field_row.h"
#include "app/desktop/session/workbench.h"

#include <functional>

namespace portwright {

struct RoomSize {
    const char* key;  ///< of the file: "straight_mm"
    QString label, meaning;
    std::optional<double> RoomForPort::* size;
};

/// The cavity that is meant: the one of an opening of a housing, -1: the main one.
struct CavityMeant {
    std::string housing;  ///< id, of none: there is none
    int opening = -1;
};

/// A row for one size; what is committed is one undo step. `refresh` shows what the job holds.
struct RoomRow {
    FieldRow* row;
    std::function<void()> refresh;
};
RoomRow roomRow(Workbench& workbench, const RoomSize& size, const std::function<CavityMeant()>& meant);

}  // namespace portwright
