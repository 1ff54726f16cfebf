// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/case_record.hpp"
#include "annotate/media/recording.hpp"

#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// The recordings of a case, opened in order and seen as one. A recording that is missing, is another file
// (FindRecording) or can't be opened is said in the cautions and passed over; the rest works. Thread-safe
// once made.
class CaseRecordings {
 public:
  // `options` holds for all of them together: the cache is shared out evenly.
  static CaseRecordings Open(const std::string& case_folder, const CaseRecord& record,
                             const Recording::Options& options);

  int size() const { return static_cast<int>(recordings_.size()); }
  // Null where it could not be opened or the case has no such recording.
  Recording* At(int recording) const;
  // Recordings that are not used, or were found elsewhere.
  const std::vector<std::string>& cautions() const { return cautions_; }

  // kUnreadable, with the recording's name, where it is not there.
  Result<Picture> Frame(FrameRef at, const StopQuery& stop) const;
  // The case's recordings with the shapes known now: from an open recording's best table, else as the case
  // has them.
  std::vector<RecordingRef> Refs() const;
  CaseClock Clock() const { return CaseClock(Refs()); }
  // Where the playhead is: only that recording reads ahead in its direction, and near its end the next one's
  // beginning.
  void SetPlayhead(FrameRef at, int direction) const;

 private:
  std::vector<RecordingRef> refs_;
  std::vector<std::unique_ptr<Recording>> recordings_;
  std::vector<std::string> cautions_;
};

}  // namespace afterscope
