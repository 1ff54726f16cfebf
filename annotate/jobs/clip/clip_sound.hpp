// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/clip/clip_plan.hpp"
#include "annotate/clip/clip_schedule.hpp"
#include "annotate/jobs/clip/clip_source.hpp"
#include "annotate/jobs/clip/sound_file_reader.hpp"
#include "annotate/media/sound_tempo.hpp"

#include <cstdint>
#include <map>
#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// What a clip sounds like: under each part its recording's own sound (its pitch kept where it plays at 1/2 to
// 2 times its speed, else silent) or a sound file, over it the takes of the narration, the sound under them
// lowered while somebody speaks. Sound fades with the picture. The export and the preview both take their
// sound from here. Plan, schedule and source outlive it. One thread.
class ClipSoundTrack {
 public:
  // Fails where a take's sound or a sound file that the plan needs is not at hand.
  static Result<ClipSoundTrack> Open(const ClipPlan& plan, const ClipSchedule& schedule, ClipSource& source);
  ClipSoundTrack(ClipSoundTrack&&) noexcept;
  ClipSoundTrack& operator=(ClipSoundTrack&&) = delete;
  ~ClipSoundTrack();

  bool silent() const;
  // What has to be said of it, one sentence each.
  const std::vector<std::string>& cautions() const { return cautions_; }
  // Interleaved samples [first, first + count) of the clip's own clock; fastest one stretch after another.
  Result<std::vector<float>> Read(std::int64_t first, std::int64_t count, const StopQuery& stop);

 private:
  enum class Ground { kNone, kRecording, kFile };
  struct Part {
    std::int64_t first = 0, end = 0;  // samples of the clip
    Ground ground = Ground::kNone;
    std::string file;
    double file_from = 0;
  };
  struct Spoken {  // a piece of a take, in samples of the clip
    std::int64_t first = 0, end = 0;
    std::string file;
    std::int64_t from = 0;  // sample of the take
  };
  class Recorded;

  ClipSoundTrack(const ClipPlan& plan, const ClipSchedule& schedule, ClipSource& source);
  Status Place();
  Status PlaceGround(std::size_t part);
  Status PlaceVoice(std::size_t part);
  Status Keep(const std::string& path);
  void Caution(std::size_t part, const std::string& sentence);
  Status AddGround(std::size_t part, std::int64_t first, std::int64_t count, float* out,
                   const StopQuery& stop);
  Status AddVoice(std::int64_t first, std::int64_t count, float* out, const StopQuery& stop);
  float GroundGain(std::size_t part, std::int64_t sample) const;

  const ClipPlan& plan_;
  const ClipSchedule& schedule_;
  ClipSource& source_;
  std::vector<Part> parts_;
  std::vector<Spoken> spoken_;
  std::map<std::string, std::unique_ptr<SoundFileReader>> files_;
  std::unique_ptr<Recorded> recorded_;
  std::vector<std::string> cautions_;
};

// Speeds at which a recording's sound is heard.
bool KeepsPitch(double speed);

}  // namespace afterscope
