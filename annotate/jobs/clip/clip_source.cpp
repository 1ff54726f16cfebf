// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_source.hpp"

#include "annotate/store/case_session.hpp"
#include "annotate/store/fingerprint.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kSoonEnough = 1e-6;  // seconds that rounding may lose

// A folder within the case folder, or one beside it: a plan from elsewhere must not lead to other places.
Result<std::string> FolderOf(const std::string& case_folder, const std::string& named) {
  if (named.empty()) return case_folder;
  std::string rest = named.starts_with("../") ? named.substr(3) : named;
  const bool leaves = rest.empty() || rest.front() == '/' || rest == ".." || rest.starts_with("../") ||
                      rest.find("/../") != std::string::npos || rest.ends_with("/..");
  if (leaves)
    return Error{
        ErrorCode::kBadCall,
        fmt::format("The clip names the case folder '{}'; only folders in this case or beside it are read.",
                    named)};
  return case_folder + "/" + named;
}

// Stereo at 48 000 a second from a block, `count` samples a channel; repeats the nearest sample's neighbours
// linearly where the rates differ.
void AppendResampled(const SoundBlock& block, std::size_t count, std::vector<float>& out) {
  const auto channels = static_cast<std::size_t>(std::max(block.channels, 1));
  const std::size_t held = block.samples.size() / channels;
  const double step = static_cast<double>(block.sample_rate) / kClipSampleRate;
  for (std::size_t i = 0; i < count; ++i) {
    const double at = static_cast<double>(i) * step;
    const auto below = static_cast<std::size_t>(at);
    const auto share = static_cast<float>(at - static_cast<double>(below));
    for (std::size_t ch = 0; ch < 2; ++ch) {
      const auto sample = [&](std::size_t k) {
        return k < held ? block.samples[k * channels + std::min(ch, channels - 1)] : 0.0f;
      };
      out.push_back(sample(below) * (1 - share) + sample(below + 1) * share);
    }
  }
}

}  // namespace

Result<ClipSource> ClipSource::Open(const std::string& case_folder, const ClipPlan& plan, FileSystem& files) {
  ClipSource source;
  source.files_ = &files;
  std::map<std::pair<std::string, std::string>, std::size_t> known;
  for (const ClipPart& part : plan.parts) {
    const auto [entry, fresh] = known.try_emplace({part.case_folder, part.review}, source.cases_.size());
    source.case_of_part_.push_back(entry->second);
    if (!fresh) continue;
    AFTERSCOPE_ASSIGN(const std::string folder, FolderOf(case_folder, part.case_folder));
    OpenCaseOptions options;
    options.read_only = true;
    if (!part.review.empty()) options.review = ReviewId{part.review};
    AFTERSCOPE_ASSIGN(const auto session, CaseSession::Open(folder, options, files));
    OpenCase opened;
    opened.folder = folder;
    opened.shown = {session->record(), session->review(), CaseClock(session->record().recordings)};
    source.cases_.push_back(std::move(opened));
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
    AFTERSCOPE_TRY(shown);
    if (on_screen.empty())
      return Error{ErrorCode::kUnreadable,
                   fmt::format("No picture could be read for part {} of the clip from '{}'.", part + 1,
                               recording->info().path)};
    for (; next < end; ++next) AFTERSCOPE_TRY(show(on_screen));
  }
  return {};
}

bool ClipSource::HasSound(std::size_t part) {
  const auto recording = RecordingAt(part, 0);
  return recording.ok() && (*recording)->info().sound.has_value();
}

Result<std::vector<float>> ClipSource::Sound(std::size_t part, double from, double to,
                                             const StopQuery& stop) {
  const CaseClock& clock = CaseOf(part).clock;
  const auto index = [](double seconds) {
    return static_cast<std::int64_t>(std::llround(seconds * kClipSampleRate));
  };
  std::vector<float> out;
  const std::size_t wanted = static_cast<std::size_t>(std::max<std::int64_t>(0, index(to) - index(from)));
  double at = from;
  while (at < to - 0.5 / kClipSampleRate) {
    const int number = clock.At(at + kSoonEnough).recording;
    const double begin = clock.Starts()[static_cast<std::size_t>(number)];
    const bool last = static_cast<std::size_t>(number) + 1 == clock.Starts().size();
    const double end = last ? to : std::min(to, clock.Starts()[static_cast<std::size_t>(number) + 1]);
    AFTERSCOPE_ASSIGN(Recording* const recording, RecordingAt(part, number));
    AFTERSCOPE_ASSIGN(const SoundBlock block, recording->Sound(at - begin, end - begin, stop));
    AppendResampled(block, static_cast<std::size_t>(index(end) - index(at)), out);
    at = end;
  }
  out.resize(wanted * 2, 0.0f);
  return out;
}

}  // namespace afterscope
