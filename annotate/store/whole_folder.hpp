// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"

#include <functional>
#include <string>

namespace afterscope {

// Makes a folder that is whole or absent: `fill` writes into a hidden one beside it, of a name of its own,
// which takes the name when that has worked. `path` must be absent, or hold nothing but what a program left
// that ended while a case was being made, then too: what came there meanwhile stays, and the making fails.
// What programs that ended left of earlier tries goes first; where this one fails, nothing stays, and the
// sentence names `path`.
Status MakeWholeFolder(FileSystem& files, const std::string& path,
                       const std::function<Status(const std::string& folder)>& fill);

// Whether nothing but what a program left that ended while it made a case, or that makes one now, lies in a
// folder: an empty lock, temporary files.
bool IsUnused(FileSystem& files, const std::string& folder);

}  // namespace afterscope
