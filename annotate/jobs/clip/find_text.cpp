// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/find_text.hpp"

#include "annotate/media/case_recordings.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

constexpr int kLooks = 32;                        // pictures of a recording
constexpr std::int64_t kCacheBytes = 64LL << 20;  // no picture is asked for twice

}  // namespace

Result<std::vector<FoundText>> FindBurntInText(const std::string& case_folder, const CaseRecord& record,
                                               const Progress& progress, const StopQuery& stop) {
  Recording::Options options;
  options.build_table = false;  // a few pictures only
  options.cache_bytes = kCacheBytes;
  const CaseRecordings recordings = CaseRecordings::Open(case_folder, record, options);
  bool any = false;
  for (int i = 0; i < recordings.size(); ++i) any = any || recordings.At(i);
  if (!any)
    return Error{ErrorCode::kUnreadable,
                 fmt::format("No recording of '{}' is at hand to look for words in.", case_folder)};
  std::vector<FoundText> found;
  const auto total = static_cast<double>(record.recordings.size() * kLooks);
  for (std::size_t recording = 0; recording < record.recordings.size(); ++recording) {
    const RecordingShape& shape = record.recordings[recording].shape;
    const int number = static_cast<int>(recording);
    if (!recordings.At(number)) continue;
    FixedTextFinder finder;
    for (int look = 0; look < kLooks; ++look) {
      if (stop && stop()) return Error{ErrorCode::kStopped, "Looking for burnt-in words was stopped."};
      const std::int64_t length = shape.end.ticks - shape.first.ticks;
      const auto picture =
          recordings.At(number)->Frame(Pts{shape.first.ticks + length * look / kLooks}, stop);
      if (picture.ok()) finder.Add(*picture);
      if (progress) progress((static_cast<double>(recording) * kLooks + look + 1) / total);
    }
    for (const TextArea& area : finder.Find()) found.push_back({{number, shape.first}, area});
  }
  return found;
}

EditGroup CoverEdits(const std::vector<FoundText>& found, const std::function<MarkId()>& new_mark) {
  EditGroup group{"Cover burnt-in words", {}};
  for (const FoundText& text : found) {
    Mark cover;
    cover.kind = MarkKind::kCover;
    cover.at = text.at;
    cover.points = {text.area.corner, text.area.opposite};
    cover.id = new_mark();
    group.edits.emplace_back(Put<Mark>{std::move(cover)});
  }
  return group;
}

}  // namespace afterscope
