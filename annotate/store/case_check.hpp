// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/file_system.hpp"
#include "annotate/store/fingerprint.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"

#include <string>
#include <vector>

namespace afterscope {

struct RecordingCheck {
  std::string path;  // as the case names it
  RecordingState state = RecordingState::kMissing;
  bool verified = false;    // the whole file was read and has the digest that the case knows
  std::string full_sha256;  // of the file, where it was read to its end
  std::string message;
};

struct CaseCheck {
  std::string folder;
  std::vector<std::string> wrong;  // one sentence each; empty: whole
  std::vector<std::string> notes;
  std::vector<RecordingCheck> recordings;
  int reviews = 0;
};

// Looks at a case without changing anything: record, all reviews with what was spoken, journals against their
// chains and checkpoints, the step list and score sheets that lie with it, and the recordings. With `full`
// each recording is read to its end and compared with the digest that the case knows.
CaseCheck CheckCase(const std::string& folder, bool full, const Progress& progress, const StopQuery& stop,
                    FileSystem& files = RealFileSystem());

// The case folders at or under a folder, at most four levels down, sorted. kUnreadable where the folder
// itself can't be looked into; one inside it that can't is told by `passed_over`, a sentence each.
// `too_deep`: takes folders that lie lower, the highest of each branch.
Result<std::vector<std::string>> FindCases(const std::string& folder, std::vector<std::string>& passed_over,
                                           FileSystem& files = RealFileSystem(),
                                           std::vector<std::string>* too_deep = nullptr);

}  // namespace afterscope
