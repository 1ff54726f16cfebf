// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_source.hpp"

#include "annotate/clip/voice_takes_json.hpp"
#include "annotate/jobs/clip/clip_findings.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/covers_of_case.hpp"
#include "annotate/store/fingerprint.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kLongest = 86400;    // seconds of a clip
constexpr double kSoonEnough = 1e-6;  // seconds that rounding may lose

// A place within the case folder, or beside it: a plan from elsewhere must not lead to other places.
Result<std::string> Within(const std::string& case_folder, const std::string& named, const char* what) {
  if (named.empty()) return case_folder;
  const std::string rest = named.starts_with("../") ? named.substr(3) : named;
  const bool leaves = rest.empty() || rest.front() == '/' || rest == ".." || rest.starts_with("../") ||
                      rest.find("/../") != std::string::npos || rest.ends_with("/..");
  if (leaves)
    return Error{ErrorCode::kBadCall,
                 fmt::format("The clip names the {} '{}'; only those in this case or beside it are read.",
                             what, named)};
  return case_folder + "/" + named;
}

Status CheckRecordings(const ClipPart& part, std::size_t number, std::size_t recordings) {
  const FrameRef last = part.kind == ClipPartKind::kStretch ? part.end : part.start;
  for (const int named : {part.start.recording, last.recording})
    if (part.kind != ClipPartKind::kTitle && (named < 0 || named >= static_cast<int>(recordings)))
      return Error{
          ErrorCode::kNotComputable,
          fmt::format("Part {} of the clip names recording {}; the case has {}.", number, named, recordings)};
  return {};
}

double LengthOf(const ClipPart& part, const CaseClock& clock) {
  if (part.kind != ClipPartKind::kStretch) return part.seconds;
  return std::max(0.0, (clock.Seconds(part.end) - clock.Seconds(part.start)) / part.speed);
}

}  // namespace

void ClipSource::TakeFindings(OpenCase& opened, const ClipSource* before) {
  opened.has_findings = true;
  const Review& review = opened.shown.review;
  if (before != nullptr)
    for (const OpenCase& known : before->cases_)
      if (known.has_findings && known.folder == opened.folder && known.shown.review.id == review.id &&
          known.shown.record == opened.shown.record && known.shown.review.marks == review.marks &&
          known.shown.review.scales == review.scales) {
        opened.shown.findings = known.shown.findings;
        return;
      }
  opened.shown.findings = RhexisLines(opened.shown.record, review);
}

Status ClipSource::OpenCaseOf(const ClipPart& part, bool findings, const ClipSource* before) {
  AFTERSCOPE_ASSIGN(const std::string folder, Within(plan_folder_, part.case_folder, "case folder"));
  OpenCaseOptions options;
  options.read_only = true;
  options.may_be_absent = true;  // the window's, before its first edit
  if (!part.review.empty()) options.review = ReviewId{part.review};
  AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, options, *files_));
  OpenCase opened;
  opened.folder = folder;
  opened.shown.record = session->record();
  AFTERSCOPE_ASSIGN(opened.shown.review, WithAllCovers(folder, session->review(), *files_));
  opened.shown.clock = CaseClock(session->record().recordings);
  AFTERSCOPE_ASSIGN(opened.shown.takes, LoadTakes(folder, *files_));
  if (findings) TakeFindings(opened, before);
  cases_.push_back(std::move(opened));
  return {};
}

Result<ClipSource> ClipSource::Open(const std::string& case_folder, const ClipPlan& plan, FileSystem& files,
                                    const ClipSource* before) {
  ClipSource source;
  source.files_ = &files;
  source.plan_folder_ = case_folder;
  double length = 0;
  std::map<std::pair<std::string, std::string>, std::size_t> known;
  const auto findings_wanted = [&](const ClipPart& of) {
    return std::any_of(plan.parts.begin(), plan.parts.end(), [&](const ClipPart& part) {
      return part.findings && part.case_folder == of.case_folder && part.review == of.review;
    });
  };
  for (const ClipPart& part : plan.parts) {
    const auto [entry, fresh] = known.try_emplace({part.case_folder, part.review}, source.cases_.size());
    source.case_of_part_.push_back(entry->second);
    source.recordings_of_part_.emplace_back(part.start.recording, part.kind == ClipPartKind::kStretch
                                                                      ? part.end.recording
                                                                      : part.start.recording);
    if (fresh) AFTERSCOPE_TRY(source.OpenCaseOf(part, findings_wanted(part), before));
    const ClipCase& shown = source.cases_[entry->second].shown;
    AFTERSCOPE_TRY(CheckRecordings(part, source.case_of_part_.size(), shown.record.recordings.size()));
    length += LengthOf(part, shown.clock);
    if (!(length <= kLongest))
      return Error{ErrorCode::kBadCall, "The clip would be longer than a day; leave some of it out."};
  }
  return source;
}

std::vector<CaseClock> ClipSource::Clocks() const {
  std::vector<CaseClock> clocks;
  for (const std::size_t index : case_of_part_) clocks.push_back(cases_[index].shown.clock);
  return clocks;
}

Result<Recording*> ClipSource::RecordingAt(std::size_t part, int number) {
  OpenCase& opened = cases_[case_of_part_[part]];
  const auto& refs = opened.shown.record.recordings;
  if (number < 0 || number >= static_cast<int>(refs.size()))
    return Error{ErrorCode::kNotComputable,
                 fmt::format("Part {} of the clip names recording {}; the case has {}.", part + 1, number,
                             refs.size())};
  auto& recording = opened.recordings[number];
  if (!recording) {
    const RecordingPlace place =
        FindRecording(opened.folder, refs[static_cast<std::size_t>(number)], *files_);
    if (place.path.empty())
      return Error{ErrorCode::kUnreadable,
                   place.message.empty()
                       ? fmt::format("Recording {} of part {} of the clip is not at hand.", number, part + 1)
                       : place.message};
    Recording::Options options;
    options.recording_number = number;
    AFTERSCOPE_ASSIGN(recording, Recording::Open(place.path, options));
    AFTERSCOPE_TRY(recording->WaitForTable(TableState::kFromPackets, {}, {}));
  }
  return recording.get();
}

Status ClipSource::Pictures(std::size_t part, const std::vector<double>& times,
                            const std::function<Status(const Picture&)>& show, const StopQuery& stop) {
  const CaseClock& clock = CaseOf(part).clock;
  std::size_t next = 0;
  while (next < times.size()) {
    const FrameRef from = clock.At(times[next] + kSoonEnough);
    AFTERSCOPE_ASSIGN(Recording* const recording, RecordingAt(part, from.recording));
    // The times that lie in this recording.
    std::size_t end = next + 1;
    while (end < times.size() && clock.At(times[end] + kSoonEnough).recording == from.recording) ++end;
    const auto due = [&](std::size_t i) { return clock.At(times[i] + kSoonEnough).pts; };
    Picture on_screen;
    Status shown;
    AFTERSCOPE_TRY(recording->Sweep(
        from.pts,
        [&](const Picture& picture) {
          for (; next < end && !on_screen.empty() && due(next) < picture.frame.pts; ++next)
            if (shown = show(on_screen); !shown.ok()) return false;
          on_screen = picture;
          return next < end;
        },
        stop));
    if (!shown.ok()) return shown.error();
    if (on_screen.empty())
      return Error{ErrorCode::kUnreadable,
                   fmt::format("No picture could be read for part {} of the clip from '{}'.", part + 1,
                               recording->info().path)};
    for (; next < end; ++next) AFTERSCOPE_TRY(show(on_screen));
  }
  return {};
}

Result<std::string> ClipSource::PlaceOf(const std::string& named) const {
  return Within(plan_folder_, named, "file");
}

std::vector<std::string> ClipSource::PathsOf(std::size_t part) {
  std::vector<std::string> paths;
  for (int i = recordings_of_part_[part].first; i <= recordings_of_part_[part].second; ++i)
    if (const auto recording = RecordingAt(part, i); recording.ok())
      paths.push_back((*recording)->info().path);
  return paths;
}

bool ClipSource::HasSound(std::size_t part) {
  for (int i = recordings_of_part_[part].first; i <= recordings_of_part_[part].second; ++i)
    if (const auto recording = RecordingAt(part, i); recording.ok() && (*recording)->info().sound)
      return true;
  return false;
}

Result<std::vector<float>> ClipSource::Sound(std::size_t part, std::int64_t first, std::int64_t count,
                                             const StopQuery& stop) {
  const std::vector<double>& starts = CaseOf(part).clock.Starts();
  const auto sample = [](double seconds) { return std::llround(seconds * kSoundRate); };
  const std::int64_t past = first + count;
  std::vector<float> out(static_cast<std::size_t>(count) * kSoundChannels);
  for (std::size_t i = 0; i < starts.size(); ++i) {
    const std::int64_t start = sample(starts[i]);
    const std::int64_t begin = std::max<std::int64_t>(first, start);
    const std::int64_t end =
        i + 1 < starts.size() ? std::min<std::int64_t>(past, sample(starts[i + 1])) : past;
    if (begin >= end) continue;
    AFTERSCOPE_ASSIGN(Recording* const recording, RecordingAt(part, static_cast<int>(i)));
    if (!recording->info().sound) continue;
    AFTERSCOPE_ASSIGN(const SoundBlock block, recording->Sound(begin - start, end - begin, stop));
    std::copy(block.samples.begin(), block.samples.end(), out.begin() + (begin - first) * kSoundChannels);
  }
  return out;
}

}  // namespace afterscope
