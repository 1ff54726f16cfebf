// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review_access.hpp"
#include "metrics/base/time.hpp"

#include <string>
#include <vector>

namespace afterscope {

enum class CaseStage { kNew, kStarted, kSigned };

// A case folder as it is listed.
struct ShelfCase {
  std::string folder;
  std::string code;  // the folder's name where the case has none
  std::string date;
  std::string who;  // operator
  CaseStage stage = CaseStage::kNew;
  std::vector<ReviewSummary> reviews;
  bool times_only = false;  // a table of step times without a recording
  std::string problem;      // one sentence, where it can't be read
  std::string delete_by;    // of its consent, where that date has passed
};

struct FolderListing {
  struct Item {
    std::string name;
    bool folder = false;
    bool is_case = false;  // a folder that holds a case
  };
  std::string folder;
  std::vector<Item> items;  // folders first, then recordings, each by name
  std::string problem;
};

// What a path stands for.
enum class PathKind { kMissing, kCase, kFolder, kFile };
PathKind KindOfPath(const std::string& path);

// The cases in a folder and the folders in it (two levels), in order of date and code; stopped, those that
// were looked at so far. Blocks. Progress: once all folders are known, the share of cases looked at.
std::vector<ShelfCase> FindCases(const std::string& folder, const Progress& progress, const StopQuery& stop);

// What the browser shows of a folder: folders, and files with the ending of a recording or a narration.
// Blocks.
FolderListing ListFolder(const std::string& folder);

// Whether a file's name ends like that of a recording.
bool LooksLikeRecording(const std::string& name);
// The same for timed words: WebVTT, SubRip, plain text.
bool LooksLikeNarration(const std::string& name);

}  // namespace afterscope
