// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <set>
#include <string>

namespace afterscope {

// Replaces a text in the case's own step lists (NAME.json in the case folder) and score sheets
// (score_sheets/). Ids, and the keys of a sheet's items and groups, of which ids are made, stay. A key of a
// step or check is scrubbed as in the record; where two become one, the later get numbers. A sheet that holds
// the text is written anew from what is read of it; what in score_sheets/ is no sheet is scrubbed in its
// bytes.
Status ScrubLists(FileSystem& files, const std::string& case_folder, const std::string& text);

// What ScrubLists leaves as it is.
void CollectIdsOfLists(FileSystem& files, const std::string& case_folder, std::set<std::string>& ids);

}  // namespace afterscope
