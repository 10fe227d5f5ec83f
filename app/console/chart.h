// SPDX-License-Identifier: GPL-3.0-or-later
// The one place where the console program meets Qt.
#pragma once

#include "app/console/run.h"

namespace portwright::console {

/// Paints off screen, in light colours; the Qt application lives only while it paints.
Result<std::string> paintChart(const Project& project, const ChartRequest& request);

/// The same for templates: PDF in true size.
Result<std::vector<PartFile>> paintTemplates(const std::vector<PartTemplate>& templates, TemplatePaper paper);

}  // namespace portwright::console
