// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>

namespace afterscope {

// Files of a cache: bytes and their SHA-256, so that what was cut or changed by accident is not believed.

// The bytes, or null where the file is absent, longer than `most_bytes`, cut or changed.
std::shared_ptr<const std::string> LoadSealed(FileSystem& files, const std::string& path,
                                              std::int64_t most_bytes);
// Makes the folder where it is missing. A cache that can't be written only costs time: no error is told.
void SaveSealed(FileSystem& files, const std::string& folder, const std::string& name, std::string bytes);

}  // namespace afterscope
