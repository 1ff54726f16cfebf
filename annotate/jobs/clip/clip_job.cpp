// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_job.hpp"

#include "annotate/exchange/timed_text.hpp"
#include "annotate/jobs/clip/clip_checks.hpp"
#include "annotate/jobs/clip/clip_frames.hpp"
#include "annotate/jobs/clip/clip_sound.hpp"
#include "annotate/jobs/clip/clip_source.hpp"
#include "annotate/jobs/clip/left_behind.hpp"
#include "annotate/media/picture_worker.hpp"
#include "annotate/media/video_writer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

namespace afterscope {
namespace {

enum class ClipForm { kMp4, kWebM };

constexpr const char* kStopped = "Making the clip was stopped; no file was left.";

Result<ClipForm> FormOf(const std::string& path) {
  if (path.ends_with(".mp4")) return ClipForm::kMp4;
  if (path.ends_with(".webm")) return ClipForm::kWebM;
  return Error{ErrorCode::kBadCall,
               fmt::format("'{}' is no kind of clip: give a name that ends in .mp4 or .webm.", path)};
}

std::string ChapterTitle(const ClipPart& part, std::size_t number) {
  return part.text.empty() ? fmt::format("Part {}", number) : part.text;
}

VideoSettings PicturesOf(const ClipPlan& plan, const ClipSchedule& schedule, ClipForm form,
                         const ClipOptions& options) {
  VideoSettings video;
  video.codec = form == ClipForm::kMp4 ? WrittenVideo::kH264 : WrittenVideo::kVp9;
  video.container = form == ClipForm::kMp4 ? WrittenContainer::kMp4 : WrittenContainer::kWebM;
  video.width = plan.width;
  video.height = plan.height;
  video.frame_rate = plan.rate;
  video.time_base = {plan.rate.den, plan.rate.num};
  video.matrix = ColorMatrix::kBt709;
  video.preset = options.preset;
  video.crf = options.quality;
  video.key_interval = std::max(1, static_cast<int>(std::lround(2 * plan.rate.value())));
  video.threads = 0;
  for (std::size_t i = 0; i < plan.parts.size(); ++i)
    video.chapters.push_back({schedule.Seconds(schedule.FirstFrame(i)),
                              schedule.Seconds(schedule.FirstFrame(i) + schedule.FrameCount(i)),
                              ChapterTitle(plan.parts[i], i + 1)});
  return video;
}

// The captions of the clip on its own clock: one for each run of frames that show the same words.
Result<std::vector<Cue>> CaptionsOf(const ClipPlan& plan, const ClipSchedule& schedule,
                                    const ClipSource& source, const StopQuery& stop) {
  std::vector<Cue> cues;
  std::string running;
  for (std::int64_t n = 0; n < schedule.frames(); ++n) {
    if (Stopped(stop)) return Error{ErrorCode::kStopped, kStopped};
    const ClipInstant instant = schedule.At(n);
    const std::string text = CaptionAt(plan.parts[instant.part], schedule.LengthOf(instant.part), instant,
                                       source.CaseOf(instant.part));
    const double now = schedule.Seconds(n);
    if (text == running && !text.empty() && schedule.FirstFrame(instant.part) != n) {
      cues.back().end = schedule.Seconds(n + 1);
      continue;
    }
    running = text;
    if (!text.empty()) cues.push_back({now, schedule.Seconds(n + 1), text});
  }
  return cues;
}

class ClipMaker {
 public:
  ClipMaker(const ClipPlan& plan, const ClipSchedule& schedule, ClipSource& source, VideoWriter& writer,
            ClipSoundTrack* sound, const Progress& progress, const StopQuery& stop)
      : plan_(plan),
        schedule_(schedule),
        source_(source),
        writer_(writer),
        sound_(sound),
        progress_(progress),
        stop_(stop) {}

  Status Run() {
    for (std::size_t part = 0; part < plan_.parts.size(); ++part) {
      const std::int64_t first = schedule_.FirstFrame(part), count = schedule_.FrameCount(part);
      if (plan_.parts[part].kind == ClipPartKind::kTitle) {
        for (std::int64_t i = 0; i < count; ++i) AFTERSCOPE_TRY(Write(first + i, {}));
        continue;
      }
      std::vector<double> times;
      for (std::int64_t i = 0; i < count; ++i) times.push_back(schedule_.At(first + i).case_seconds);
      std::int64_t next = first;
      AFTERSCOPE_TRY(source_.Pictures(
          part, times, [&](const Picture& picture) { return Write(next++, picture); }, stop_));
    }
    return {};
  }

 private:
  Status Write(std::int64_t n, const Picture& picture) {
    if (Stopped(stop_)) return Error{ErrorCode::kStopped, kStopped};
    const ClipInstant instant = schedule_.At(n);
    const auto frame = std::make_shared<YuvFrame>(plan_.width, plan_.height, ColorMatrix::kBt709);
    DrawClipFrame(plan_, schedule_, instant, source_.CaseOf(instant.part), picture, *frame);
    AFTERSCOPE_TRY(writer_.WritePicture(AsPicture(frame, {0, Pts{n}}), Pts{n}, TickSpan{1}));
    if (sound_) AFTERSCOPE_TRY(WriteSound(n));
    if (progress_) progress_(static_cast<double>(n + 1) / static_cast<double>(schedule_.frames()));
    return {};
  }

  // The samples that belong to a frame, so that sound and picture can't drift apart.
  Status WriteSound(std::int64_t n) {
    const auto sample = [&](std::int64_t frame) {
      return std::llround(schedule_.Seconds(frame) * kSoundRate);
    };
    AFTERSCOPE_ASSIGN(const std::vector<float> samples,
                      sound_->Read(sample(n), sample(n + 1) - sample(n), stop_));
    return writer_.WriteSound(samples);
  }

  const ClipPlan& plan_;
  const ClipSchedule& schedule_;
  ClipSource& source_;
  VideoWriter& writer_;
  ClipSoundTrack* sound_;  // null: the clip is silent
  const Progress& progress_;
  const StopQuery& stop_;
};

}  // namespace

Result<ClipDone> MakeClip(const std::string& case_folder, const ClipPlan& plan, const std::string& path,
                          const ClipOptions& options, const Progress& progress, const StopQuery& stop,
                          FileSystem& files) {
  AFTERSCOPE_ASSIGN(const ClipForm form, FormOf(path));
  AFTERSCOPE_TRY(CheckPlan(plan));
  AFTERSCOPE_TRY(CheckFree(path, files));
  const PictureWorker::Hungry hungry;  // frame tables are verified when the clip is done
  AFTERSCOPE_ASSIGN(ClipSource source, ClipSource::Open(case_folder, plan, files));
  AFTERSCOPE_TRY(CheckConsents(plan, source, options));
  const ClipSchedule schedule(plan, source.Clocks());
  ClipDone done;
  done.frames = schedule.frames();
  AFTERSCOPE_ASSIGN(ClipSoundTrack sound, ClipSoundTrack::Open(plan, schedule, source));
  done.cautions = sound.cautions();
  AFTERSCOPE_ASSIGN(const std::vector<Cue> cues, CaptionsOf(plan, schedule, source, stop));
  if (options.caption_file && !cues.empty()) {
    done.caption_file = path.substr(0, path.rfind('.')) + ".vtt";
    AFTERSCOPE_TRY(CheckFree(done.caption_file, files));
  }
  SoundSettings sound_settings;
  sound_settings.sample_rate = kSoundRate;
  sound_settings.channels = 2;
  sound_settings.bit_rate = 128'000;
  AFTERSCOPE_ASSIGN(
      const auto writer,
      VideoWriter::Create(path, PicturesOf(plan, schedule, form, options),
                          sound.silent() ? std::nullopt : std::optional(sound_settings), files));
  AFTERSCOPE_TRY(
      ClipMaker(plan, schedule, source, *writer, sound.silent() ? nullptr : &sound, progress, stop).Run());
  AFTERSCOPE_TRY(writer->FinishIfFree());
  if (!done.caption_file.empty()) AFTERSCOPE_TRY(WriteNewFile(files, done.caption_file, WriteWebVtt(cues)));
  done.left_behind = LeftBehind(plan, source);
  return done;
}

}  // namespace afterscope
