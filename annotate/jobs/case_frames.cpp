// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/case_frames.hpp"

#include "annotate/store/fingerprint.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::int64_t kCacheBytes = 64LL << 20;  // of one recording: hardly a picture is asked for twice

}  // namespace

CaseFrames::CaseFrames(const std::string& case_folder, const CaseRecord& record, FileSystem& files) {
  for (const RecordingRef& recording : record.recordings) {
    RecordingPlace place = FindRecording(case_folder, recording, files);
    if (!place.message.empty()) cautions_.push_back(place.message);
    reasons_.push_back(place.message.empty() ? "The case has no recording here, only its times."
                                             : place.message);
    paths_.push_back(std::move(place.path));
  }
  open_.resize(paths_.size());
}

bool CaseFrames::AtHand() const {
  return std::any_of(paths_.begin(), paths_.end(), [](const std::string& path) { return !path.empty(); });
}

Result<Picture> CaseFrames::Frame(FrameRef at, const StopQuery& stop) {
  if (at.recording < 0 || at.recording >= static_cast<int>(paths_.size()))
    return Error{ErrorCode::kNotComputable, fmt::format("The case has no recording {}.", at.recording + 1)};
  const auto i = static_cast<std::size_t>(at.recording);
  if (paths_[i].empty()) return Error{ErrorCode::kUnreadable, reasons_[i]};
  if (!open_[i]) {
    Recording::Options options;
    options.recording_number = at.recording;
    options.build_table = false;  // a few frames only
    options.cache_bytes = kCacheBytes;
    AFTERSCOPE_ASSIGN(open_[i], Recording::Open(paths_[i], options));
  }
  AFTERSCOPE_ASSIGN(Picture picture, open_[i]->Frame(at.pts, stop));
  if (picture.frame.pts != at.pts)
    return Error{ErrorCode::kNotComputable,
                 fmt::format("'{}' has no frame at tick {}; the one shown then has tick {}.", paths_[i],
                             at.pts.ticks, picture.frame.pts.ticks)};
  return picture;
}

}  // namespace afterscope
