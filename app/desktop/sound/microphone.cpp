// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sound/microphone.hpp"

#include "annotate/media/sound_format.hpp"
#include "app/desktop/sound/sdl_audio.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <mutex>
#include <span>

namespace afterscope {
namespace {

class SdlMicrophone final : public Microphone {
 public:
  explicit SdlMicrophone(double most_seconds) : most_(static_cast<std::size_t>(most_seconds * kSoundRate)) {}
  ~SdlMicrophone() override { Close(); }
  SdlMicrophone(const SdlMicrophone&) = delete;
  SdlMicrophone& operator=(const SdlMicrophone&) = delete;

  Status Start() {
    if (audio_.ready()) device_ = OpenSdlDevice(true, 1, Hear, this);
    if (device_ == 0)
      return Error{
          ErrorCode::kUnreadable,
          fmt::format("Nothing can be spoken: this machine has no microphone ({}).", SDL_GetError())};
    SDL_PauseAudioDevice(device_, 0);
    return {};
  }

  double Seconds() const override {
    const std::lock_guard lock(mutex_);
    return static_cast<double>(samples_.size()) / kSoundRate;
  }
  float Level() const override {
    const std::lock_guard lock(mutex_);
    float level = 0;
    const std::size_t count = std::min<std::size_t>(samples_.size(), kSoundRate / 10);
    for (const float sample : std::span(samples_).last(count)) level = std::max(level, std::abs(sample));
    return level;
  }
  std::vector<float> Take() override {
    Close();
    return std::move(samples_);
  }

 private:
  static void Hear(void* self, Uint8* bytes, int count) {
    static_cast<SdlMicrophone*>(self)->Keep(
        {reinterpret_cast<const float*>(bytes), static_cast<std::size_t>(count) / sizeof(float)});
  }
  void Keep(std::span<const float> heard) {
    const std::lock_guard lock(mutex_);
    const std::size_t room = most_ - std::min(most_, samples_.size());
    for (const float sample : heard.first(std::min(room, heard.size())))
      samples_.push_back(std::isfinite(sample) ? std::clamp(sample, -1.0F, 1.0F) : 0.0F);
  }
  // Nothing is heard after it.
  void Close() {
    if (device_ != 0) SDL_CloseAudioDevice(device_);
    device_ = 0;
  }

  const std::size_t most_;
  SdlAudio audio_;
  SDL_AudioDeviceID device_ = 0;
  mutable std::mutex mutex_;
  std::vector<float> samples_;
};

}  // namespace

Result<std::unique_ptr<Microphone>> Microphone::Open(double most_seconds) {
  auto microphone = std::make_unique<SdlMicrophone>(most_seconds);
  AFTERSCOPE_TRY(microphone->Start());
  return std::unique_ptr<Microphone>(std::move(microphone));
}

}  // namespace afterscope
