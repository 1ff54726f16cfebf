// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/media/recording.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/picture.hpp"
#include "metrics/base/result.hpp"

#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// The frames of a case's recordings, each opened when it is first asked for. One thread at a time.
class CaseFrames {
 public:
  CaseFrames(const std::string& case_folder, const CaseRecord& record, FileSystem& files = RealFileSystem());

  // True if at least one recording can be opened here.
  bool AtHand() const;
  // What has to be said of recordings that moved, are missing or are not the same.
  const std::vector<std::string>& cautions() const { return cautions_; }
  // Exactly that frame; fails where the recording is not at hand or has no frame with that timestamp.
  Result<Picture> Frame(FrameRef at, const StopQuery& stop);

 private:
  std::vector<std::string> paths_;    // empty: not at hand
  std::vector<std::string> reasons_;  // why not
  std::vector<std::unique_ptr<Recording>> open_;
  std::vector<std::string> cautions_;
};

}  // namespace afterscope
