// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/media/recording.hpp"
#include "metrics/base/result.hpp"

#include <memory>
#include <string>
#include <vector>

namespace afterscope {

struct BareRecording {
  std::string path;
  std::shared_ptr<Recording> recording;
};

// The folder in which a recording becomes a case: beside it, named after it.
std::string CaseFolderFor(const std::string& recording);

// The record of recordings that are no case yet.
CaseRecord UnsavedRecord(const std::vector<BareRecording>& recordings, const std::string& step_list);

// Makes a case of them and says its folder: beside the first recording, or, where nothing can be written
// there, in "afterscope" in the user's home. Blocks.
Result<std::string> MakeCase(const std::vector<BareRecording>& recordings, const std::string& step_list);

// Where the recording of a case lies, also after it moved; else one sentence that says why it can't be used.
// Blocks.
Result<std::string> LocateRecording(const std::string& case_folder, const RecordingRef& ref);

}  // namespace afterscope
