// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/case_recordings.hpp"

#include "annotate/media/picture_cache.hpp"
#include "annotate/store/fingerprint.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr double kNearSeconds = 2;  // of the end: then the next recording gets ready

std::int64_t ShareOfCache(std::int64_t asked, std::size_t count) {
  const std::int64_t all = asked > 0 ? asked : DefaultCacheBytes();
  return std::max<std::int64_t>(1, all / static_cast<std::int64_t>(std::max<std::size_t>(1, count)));
}

}  // namespace

CaseRecordings CaseRecordings::Open(const std::string& case_folder, const CaseRecord& record,
                                    const Recording::Options& options) {
  CaseRecordings all;
  all.refs_ = record.recordings;
  const auto with_file = static_cast<std::size_t>(std::count_if(
      all.refs_.begin(), all.refs_.end(), [](const RecordingRef& ref) { return !ref.path.empty(); }));
  for (std::size_t i = 0; i < all.refs_.size(); ++i) {
    const RecordingRef& ref = all.refs_[i];
    all.recordings_.push_back(nullptr);
    if (ref.path.empty()) continue;  // only a table of step times
    Recording::Options own = options;
    own.recording_number = static_cast<int>(i);
    own.cache_bytes = ShareOfCache(options.cache_bytes, with_file);
    const RecordingPlace place = FindRecording(case_folder, ref);
    if (!place.message.empty()) all.cautions_.push_back(place.message);
    if (place.path.empty()) continue;
    auto opened = Recording::Open(place.path, own);
    if (!opened.ok()) {
      all.cautions_.push_back(fmt::format("Recording {} is passed over: {}", i + 1, opened.error().message));
      continue;
    }
    all.recordings_.back() = std::move(*opened);
  }
  return all;
}

Recording* CaseRecordings::At(int recording) const {
  return recording >= 0 && recording < size() ? recordings_[static_cast<std::size_t>(recording)].get()
                                              : nullptr;
}

Result<Picture> CaseRecordings::Frame(FrameRef at, const StopQuery& stop) const {
  if (Recording* recording = At(at.recording)) return recording->Frame(at.pts, stop);
  const bool known = at.recording >= 0 && at.recording < size();
  const std::string name = known ? refs_[static_cast<std::size_t>(at.recording)].path : "";
  return Error{ErrorCode::kUnreadable,
               fmt::format("Recording {} of the case{} is not at hand.", at.recording + 1,
                           name.empty() ? "" : " ('" + name + "')")};
}

std::vector<RecordingRef> CaseRecordings::Refs() const {
  std::vector<RecordingRef> refs = refs_;
  for (std::size_t i = 0; i < refs.size(); ++i) {
    if (!recordings_[i]) continue;
    const RecordingShape shape = recordings_[i]->Shape();
    if (shape.verified || !refs[i].shape.verified)
      refs[i].shape = shape;  // a verified one is not given up for less
    else if (refs[i].shape.frame == TickSpan{})
      refs[i].shape.frame = shape.frame;  // of a case made before it was kept
  }
  return refs;
}

void CaseRecordings::SetPlayhead(FrameRef at, int direction) const {
  Recording* now = At(at.recording);
  if (now == nullptr) return;
  now->SetPlayhead(at.pts, direction);
  const RecordingShape shape = now->Shape();
  Recording* next = At(at.recording + 1);
  if (next != nullptr && direction >= 0 && (shape.end - at.pts).Seconds(shape.time_base) < kNearSeconds)
    next->SetPlayhead(next->Shape().first, 1);
}

}  // namespace afterscope
