// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/clip/clip_frames.hpp"
#include "annotate/media/recording.hpp"
#include "annotate/store/file_system.hpp"

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// The cases of a clip and their recordings, opened when they are first needed. One thread at a time.
class ClipSource {
 public:
  // Opens the record of every part's case. A part may name a folder in the plan's case folder, or beside it;
  // others are refused, as are parts of recordings that the case does not have, and a clip of more than a
  // day. What is said beside outlines takes a moment to compute: it is taken over from `before`, a source of
  // the same plan as it was, where its marks are the same.
  static Result<ClipSource> Open(const std::string& case_folder, const ClipPlan& plan, FileSystem& files,
                                 const ClipSource* before = nullptr);

  const ClipCase& CaseOf(std::size_t part) const { return cases_[case_of_part_[part]].shown; }
  std::vector<CaseClock> Clocks() const;
  const std::string& FolderOfPart(std::size_t part) const { return cases_[case_of_part_[part]].folder; }
  // A file that the plan names, relative to its case folder; refused where it would lead to other places.
  Result<std::string> PlaceOf(const std::string& named) const;

  Result<Recording*> RecordingAt(std::size_t part, int recording);
  // Files of the recordings that the part shows, as far as they are at hand.
  std::vector<std::string> PathsOf(std::size_t part);

  // Calls `show` with the picture on screen at each of the times (seconds on the case clock, not falling),
  // one call a time; runs through the recordings once. `show` fails or returns to go on.
  Status Pictures(std::size_t part, const std::vector<double>& times,
                  const std::function<Status(const Picture&)>& show, const StopQuery& stop);

  // Samples [first, first + count) of the case clock (sound_format.hpp); silence where there is no sound.
  Result<std::vector<float>> Sound(std::size_t part, std::int64_t first, std::int64_t count,
                                   const StopQuery& stop);
  // Whether any recording that the part shows has sound.
  bool HasSound(std::size_t part);

 private:
  struct OpenCase {
    std::string folder;
    ClipCase shown;
    bool has_findings = false;  // they were computed, if only to none
    std::map<int, std::unique_ptr<Recording>> recordings;
  };
  Status OpenCaseOf(const ClipPart& part, bool findings, const ClipSource* before);
  // Puts them into the case.
  static void TakeFindings(OpenCase& opened, const ClipSource* before);

  FileSystem* files_ = nullptr;
  std::string plan_folder_;
  std::vector<std::pair<int, int>> recordings_of_part_;  // the first and the last that it shows
  std::vector<OpenCase> cases_;
  std::vector<std::size_t> case_of_part_;
};

}  // namespace afterscope
