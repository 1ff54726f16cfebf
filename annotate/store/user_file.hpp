// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"

#include <string>
#include <string_view>

namespace afterscope {

// Writes what a person asked for to the file that the person named, as ReplaceFile does. A file that is there
// is replaced only by one of its own kind, text by text and PDF by PDF: a slip of the hand must not cost a
// recording. What a case is made of (FORMAT.md) is never replaced. Else kUnwritable, and nothing is changed.
Status WriteUserFile(FileSystem& files, const std::string& path, std::string_view bytes);

}  // namespace afterscope
