// SPDX-License-Identifier: GPL-3.0-or-later
// A table of sections as comma-separated text. First line: the columns, any order, at_mm and shape must be there:
//   at_mm,shape,width_mm,height_mm,corner_mm,area_cm2,points_mm
// shape: rectangle, rounded, ellipse, d, triangle, outline, area. points_mm: "0 0; 120 0; 60 80". A cell that its shape
// does not use stays empty. Point decimals; empty lines and lines that begin with # are passed over.
#pragma once

#include "core/housing/measurement.h"
#include "core/result.h"

#include <string>
#include <string_view>
#include <vector>

namespace portwright {

/// Errors: field "line 7", one sentence. What cannot be a section (crossing outline, falling positions) is refused here
/// too.
Result<std::vector<Section>> parseSectionsCsv(std::string_view text);

/// Reads back to the same sections.
std::string sectionsCsv(const std::vector<Section>& sections);

}  // namespace portwright
