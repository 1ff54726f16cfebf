// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"

#include <functional>
#include <string>

namespace afterscope {

// Makes a folder that is whole or absent: `fill` writes into a hidden one beside it, which takes its name
// when that has worked. `path` must be absent, or hold nothing but what a program left that ended while a
// case was being made. What an earlier try left goes first; where this one fails, nothing stays, and the
// sentence names `path`.
Status MakeWholeFolder(FileSystem& files, const std::string& path,
                       const std::function<Status(const std::string& folder)>& fill);

// Whether nothing but what a program left that ended while it made a case lies in a folder.
bool IsUnused(FileSystem& files, const std::string& folder);

}  // namespace afterscope
