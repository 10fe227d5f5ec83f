// SPDX-License-Identifier: GPL-3.0-or-later
// All that a workshop needs to make the ports of a housing, and writing it as one.
#pragma once

#include "core/housing/housing.h"
#include "core/parts/drawing.h"
#include "core/parts/part_options.h"
#include "core/result.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace portwright {

struct PartFile {
    std::string name;  ///< "printed-port-1-of-2.stl", no folder
    std::string bytes;
};
struct PartTemplate {
    std::string name;  ///< of its files without ending; a PDF is painted from it where there is Qt
    Drawing drawing;
};
struct PartSet {
    std::vector<PartFile> files;          ///< parts.txt, templates as SVG and DXF, printed pieces as STL in mm
    std::vector<PartTemplate> templates;  ///< the same drawings
    std::string text;                     ///< of parts.txt: cut list, pieces, what cannot be made and why, cautions
    std::vector<std::string> remarks;     ///< sentences: what was left out and why
};

/// Parts of all ports of a housing, or of the one opening (index) asked for. Each file says what it is for: `job` (its
/// title, if it has one), housing, port and program, without a date, so that the same job gives the same bytes. From
/// stock: tube pieces, or panels, planned on the stock; printed: pieces; and the template of each way. A way that a
/// port does not allow (bends too tight, shared walls, too little stock) is a remark, and so are legs that do not fit
/// the room. Errors: no port; checkPort's and checkOptions'; openings that overlap.
Result<PartSet> partsOf(const Housing& housing, const PartOptions& options, std::optional<int> opening = {},
                        const std::string& job = {});

/// Cautions that go with parts; common practice and published limits, whole sentences.
std::vector<std::string> partCautions(UnitSystem units);

/// Names in a folder before parts are written into it, sorted: those that will be replaced, and parts of an earlier set
/// that will stay and are none of these. Both empty if there is no such folder.
struct FolderBefore {
    std::vector<std::string> replaced, leftOver;
};
FolderBefore folderBefore(const std::filesystem::path& folder, const std::vector<PartFile>& files);

/// Writes all files or none: made in a folder beside them, then moved into place; older files of these names are
/// replaced, and put back where one cannot be. The folder is made if the one above is there. Returns the paths written.
/// Errors: field is the path; no folder, not permitted, disk full.
Result<std::vector<std::string>> writeParts(const std::filesystem::path& folder, const std::vector<PartFile>& files);

}  // namespace portwright
