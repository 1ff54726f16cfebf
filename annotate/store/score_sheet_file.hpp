// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/score_sheet.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A score sheet from a file: "id", "name", "about"; "levels" (named lists of value, name, description);
// "groups" (key, name); "items" (key, name, group, step, weight, may_not_apply, needs_moment, "levels" as a
// list of its own or the name of one); "not_applicable", "pass_percent". Refuses keys given twice or longer
// than 32 characters, a group that is not there, fewer than two levels or two of one value, a weight that is
// not above 0, and a value for "not applicable" that is also a level.
Result<ScoreSheet> LoadScoreSheetFile(const std::string& path, FileSystem& files = RealFileSystem());

// By its path, or by the id of a sheet in the case folder (score_sheets/ID.json) or in ASSETS/score_sheets.
Result<ScoreSheet> FindScoreSheet(const std::string& path_or_id, const std::string& case_folder,
                                  const std::string& assets_folder, FileSystem& files = RealFileSystem());

// Writes a sheet as LoadScoreSheetFile reads it, each item with its levels.
Status SaveScoreSheet(const ScoreSheet& sheet, const std::string& path, FileSystem& files = RealFileSystem());

// Keeps a copy in the case folder, so that its scores can be read wherever the case goes.
Status KeepScoreSheet(const ScoreSheet& sheet, const std::string& case_folder,
                      FileSystem& files = RealFileSystem());

// The ids of the sheets in ASSETS/score_sheets; of a case folder those that it keeps.
std::vector<std::string> ScoreSheetIds(const std::string& assets_folder,
                                       FileSystem& files = RealFileSystem());

}  // namespace afterscope
