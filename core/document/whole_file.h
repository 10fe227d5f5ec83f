// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "core/result.h"

#include <filesystem>
#include <string_view>

namespace portwright {

/// Writes a file whole or not at all: temporary file beside the target, written, size checked, synced, renamed, folder
/// synced. Follows symbolic links, keeps the mode. On failure the old file is untouched and no temporary is left.
/// Errors: field is the path, message says the likely cause and what to do.
Result<void> writeWhole(const std::filesystem::path& path, std::string_view bytes);

}  // namespace portwright
