// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/index/case_snapshot.hpp"
#include "annotate/store/index/index_rows.hpp"

#include <string>

namespace afterscope {

// A case folder as the index keeps it; `stamp` from StampOfCase before it was read. Its findings come from
// the case's cache, or are measured and, where that was more than times, cached. A case that can't be read
// comes back with `problem` and nothing else.
IndexCase ReadIndexCase(const std::string& folder, FileSystem& files = RealFileSystem());

}  // namespace afterscope
