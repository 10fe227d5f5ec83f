// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/components/card/housing_card.h"
#include "app/desktop/session/computation.h"
#include "core/quantity/quantity.h"

namespace portwright {

/// The four figures of a card, and what the loudest level is at and limited by.
CardFigures cardFigures(const HousingResult* result, const std::optional<AtCursor>& at, double cursor,
                        UnitSystem units);

}  // namespace portwright
