// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_sound.hpp"

#include "annotate/clip/voice_takes_json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr float kUnderVoice = 0.2F;                   // -14 dB
constexpr double kLowerSeconds = 0.25;                // before somebody speaks
constexpr double kRaiseSeconds = 0.6;                 // afterwards
constexpr std::int64_t kSoftEdge = kSoundRate / 250;  // 4 ms: a piece that is cut does not click
constexpr std::int64_t kReadAtOnce = kSoundRate / 2;  // samples of a recording

std::int64_t SampleAt(double seconds) { return std::llround(seconds * kSoundRate); }

float Mixed(float from, float to, double share) {
  return from + (to - from) * static_cast<float>(std::clamp(share, 0.0, 1.0));
}

}  // namespace

bool KeepsPitch(double speed) { return speed >= SoundTempo::kSlowest && speed <= SoundTempo::kFastest; }

// The recording's sound of one part from some place of it on.
class ClipSoundTrack::Recorded {
 public:
  static Result<std::unique_ptr<Recorded>> Begin(ClipSource& source, std::size_t part, double speed,
                                                 double case_seconds, std::int64_t next) {
    AFTERSCOPE_ASSIGN(auto tempo, SoundTempo::Make(speed));
    return std::make_unique<Recorded>(source, part, SampleAt(case_seconds), next, std::move(tempo));
  }
  Recorded(ClipSource& source, std::size_t part, std::int64_t at, std::int64_t next,
           std::unique_ptr<SoundTempo> tempo)
      : source_(source), part_(part), at_(at), next_(next), tempo_(std::move(tempo)) {}

  bool ComesNext(std::size_t part, std::int64_t sample) const { return part == part_ && sample == next_; }
  // The next `count` samples of the clip.
  Status Fill(float* out, std::int64_t count, const StopQuery& stop) {
    const auto wanted = static_cast<std::size_t>(count) * kSoundChannels;
    while (ready_.size() < wanted) {
      AFTERSCOPE_ASSIGN(const std::vector<float> more, source_.Sound(part_, at_, kReadAtOnce, stop));
      at_ += kReadAtOnce;
      const std::vector<float> come = tempo_->Push(more);
      ready_.insert(ready_.end(), come.begin(), come.end());
    }
    std::copy_n(ready_.begin(), wanted, out);
    ready_.erase(ready_.begin(), ready_.begin() + static_cast<std::ptrdiff_t>(wanted));
    next_ += count;
    return {};
  }

 private:
  ClipSource& source_;
  std::size_t part_;
  std::int64_t at_;    // sample of the case clock that is read next
  std::int64_t next_;  // sample of the clip that comes next
  std::unique_ptr<SoundTempo> tempo_;
  std::vector<float> ready_;
};

ClipSoundTrack::ClipSoundTrack(const ClipPlan& plan, const ClipSchedule& schedule, ClipSource& source)
    : plan_(plan), schedule_(schedule), source_(source) {}
ClipSoundTrack::ClipSoundTrack(ClipSoundTrack&&) noexcept = default;
ClipSoundTrack::~ClipSoundTrack() = default;

Result<ClipSoundTrack> ClipSoundTrack::Open(const ClipPlan& plan, const ClipSchedule& schedule,
                                            ClipSource& source) {
  ClipSoundTrack track(plan, schedule, source);
  AFTERSCOPE_TRY(track.Place());
  return track;
}

Status ClipSoundTrack::Place() {
  for (std::size_t i = 0; i < plan_.parts.size(); ++i) {
    const std::int64_t first = schedule_.FirstFrame(i);
    parts_.push_back({SampleAt(schedule_.Seconds(first)),
                      SampleAt(schedule_.Seconds(first + schedule_.FrameCount(i))),
                      Ground::kNone,
                      {},
                      0});
    AFTERSCOPE_TRY(PlaceGround(i));
    AFTERSCOPE_TRY(PlaceVoice(i));
  }
  return {};
}

void ClipSoundTrack::Caution(std::size_t part, const std::string& sentence) {
  cautions_.push_back(fmt::format("Part {} {}", part + 1, sentence));
}

Status ClipSoundTrack::Keep(const std::string& path) {
  if (files_.contains(path)) return {};
  AFTERSCOPE_ASSIGN(SoundFileReader reader, SoundFileReader::Open(path));
  files_[path] = std::make_unique<SoundFileReader>(std::move(reader));
  return {};
}

Status ClipSoundTrack::PlaceGround(std::size_t i) {
  const ClipPart& part = plan_.parts[i];
  Part& placed = parts_[i];
  if (part.sound == ClipSound::kFile) {
    AFTERSCOPE_ASSIGN(placed.file, source_.PlaceOf(part.sound_file));
    AFTERSCOPE_TRY(Keep(placed.file));
    placed.ground = Ground::kFile;
    placed.file_from = part.sound_from;
    if (i > 0 && parts_[i - 1].file == placed.file)
      placed.file_from = parts_[i - 1].file_from + schedule_.LengthOf(i - 1);
    else
      Caution(i, fmt::format("plays '{}': make sure that no name is spoken in it.", part.sound_file));
  }
  if (part.sound != ClipSound::kOriginal || part.kind != ClipPartKind::kStretch) return {};
  if (!KeepsPitch(part.speed)) {
    Caution(i, "is silent: sound keeps its pitch from half to twice the normal speed only.");
  } else if (!source_.HasSound(i)) {
    Caution(i, "is silent: its recording has no sound.");
  } else {
    placed.ground = Ground::kRecording;
    Caution(i, "keeps its sound: make sure that no name is spoken in it.");
  }
  return {};
}

Status ClipSoundTrack::PlaceVoice(std::size_t i) {
  const ClipPart& part = plan_.parts[i];
  if (!part.voice) return {};
  const ClipCase& shown = source_.CaseOf(i);
  const auto pieces = VoiceOfPart(part, schedule_.LengthOf(i), shown.takes, shown.clock);
  if (pieces.empty()) Caution(i, "has no voice: no take of the narration begins in it.");
  for (const VoicePiece& piece : pieces) {
    const VoiceTake& take = shown.takes[piece.take];
    const bool whole_take = part.take.empty();
    if (whole_take && piece.left_out > 0.1)
      Caution(i, fmt::format("is too short for the narration: the last {:.1f} s of {} are not heard.",
                             piece.left_out, take.id));
    if (piece.length <= 0) continue;
    if (!IsTakeFileName(take.file)) {
      Caution(i, fmt::format("has no voice: the sound of {} was scrubbed.", take.id));
      continue;
    }
    const std::string file = VoiceFolder(source_.FolderOfPart(i)) + "/" + take.file;
    AFTERSCOPE_TRY(Keep(file));
    const std::int64_t first = parts_[i].first + SampleAt(piece.at);
    const std::int64_t from = SampleAt(piece.from);
    const std::int64_t end = std::min(first + SampleAt(piece.length), parts_[i].end);
    // Parts of one take that follow each other are one piece.
    if (!spoken_.empty() && spoken_.back().file == file && spoken_.back().end == first &&
        spoken_.back().from + (first - spoken_.back().first) == from)
      spoken_.back().end = end;
    else
      spoken_.push_back({first, end, file, from});
  }
  return {};
}

bool ClipSoundTrack::silent() const {
  return spoken_.empty() && std::all_of(parts_.begin(), parts_.end(),
                                        [](const Part& part) { return part.ground == Ground::kNone; });
}

float ClipSoundTrack::GroundGain(std::size_t i, std::int64_t sample) const {
  const double into = static_cast<double>(sample - parts_[i].first) / kSoundRate;
  const double length = static_cast<double>(parts_[i].end - parts_[i].first) / kSoundRate;
  auto gain = static_cast<float>(FadeShare(plan_.parts[i].fade_seconds, into, length));
  float under = 1;
  for (const Spoken& spoken : spoken_) {
    const double before = static_cast<double>(spoken.first - sample) / kSoundRate;
    const double after = static_cast<double>(sample - spoken.end) / kSoundRate;
    const float here = before > 0  ? Mixed(kUnderVoice, 1, before / kLowerSeconds)
                       : after > 0 ? Mixed(kUnderVoice, 1, after / kRaiseSeconds)
                                   : kUnderVoice;
    under = std::min(under, here);
  }
  return gain * under;
}

Status ClipSoundTrack::AddGround(std::size_t i, std::int64_t first, std::int64_t count, float* out,
                                 const StopQuery& stop) {
  const Part& part = parts_[i];
  if (part.ground == Ground::kNone) return {};
  std::vector<float> ground(static_cast<std::size_t>(count) * kSoundChannels);
  if (part.ground == Ground::kFile) {
    const std::int64_t from = SampleAt(part.file_from) + first - part.first;
    AFTERSCOPE_TRY(files_[part.file]->AddTo(ground.data(), from, count, 1, stop));
  } else {
    if (!recorded_ || !recorded_->ComesNext(i, first)) {
      const ClipPart& planned = plan_.parts[i];
      const double into = static_cast<double>(first - part.first) / kSoundRate;
      const double at = source_.CaseOf(i).clock.Seconds(planned.start) + into * planned.speed;
      AFTERSCOPE_ASSIGN(recorded_, Recorded::Begin(source_, i, planned.speed, at, first));
    }
    AFTERSCOPE_TRY(recorded_->Fill(ground.data(), count, stop));
  }
  constexpr std::int64_t kGainEvery = 48;  // samples: a thousandth of a second
  float gain = 0;
  for (std::int64_t n = 0; n < count; ++n) {
    if (n % kGainEvery == 0) gain = GroundGain(i, first + n);
    for (int c = 0; c < kSoundChannels; ++c)
      out[n * kSoundChannels + c] += gain * ground[static_cast<std::size_t>(n * kSoundChannels + c)];
  }
  return {};
}

Status ClipSoundTrack::AddVoice(std::int64_t first, std::int64_t count, float* out, const StopQuery& stop) {
  for (const Spoken& spoken : spoken_) {
    const std::int64_t begin = std::max(first, spoken.first);
    const std::int64_t end = std::min(first + count, spoken.end);
    if (begin >= end) continue;
    std::vector<float> voice(static_cast<std::size_t>(end - begin) * kSoundChannels);
    AFTERSCOPE_TRY(
        files_[spoken.file]->AddTo(voice.data(), spoken.from + begin - spoken.first, end - begin, 1, stop));
    for (std::int64_t n = begin; n < end; ++n) {
      const std::int64_t edge = std::min({n - spoken.first, spoken.end - 1 - n, kSoftEdge});
      const float gain = static_cast<float>(edge) / static_cast<float>(kSoftEdge);
      for (int c = 0; c < kSoundChannels; ++c)
        out[(n - first) * kSoundChannels + c] +=
            gain * voice[static_cast<std::size_t>((n - begin) * kSoundChannels + c)];
    }
  }
  return {};
}

Result<std::vector<float>> ClipSoundTrack::Read(std::int64_t first, std::int64_t count,
                                                const StopQuery& stop) {
  std::vector<float> out(static_cast<std::size_t>(count) * kSoundChannels);
  for (std::size_t i = 0; i < parts_.size(); ++i) {
    const std::int64_t begin = std::max(first, parts_[i].first);
    const std::int64_t end = std::min(first + count, parts_[i].end);
    if (begin < end)
      AFTERSCOPE_TRY(AddGround(i, begin, end - begin, out.data() + (begin - first) * kSoundChannels, stop));
  }
  AFTERSCOPE_TRY(AddVoice(first, count, out.data(), stop));
  for (float& sample : out) sample = std::clamp(sample, -1.0F, 1.0F);
  return out;
}

}  // namespace afterscope
