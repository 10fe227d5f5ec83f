// SPDX-License-Identifier: GPL-3.0-or-later
// The columns that the rows of an editor share: label | field | uncertainty | origin.
#pragma once

#include "app/desktop/components/measures.h"

namespace portwright::row {

inline int gap() { return px(6); }
inline int asideWidth() { return px(40); }
inline int markWidth() { return px(18); }
inline int unitWidth() { return px(27); }
inline int shortLabelWidth() { return px(66); }  ///< beside combo boxes, which are wider than numbers
inline int height() { return px(26); }

}  // namespace portwright::row
