// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/sound_format.hpp"
#include "app/desktop/sound/sdl_audio.hpp"
#include "app/desktop/sound/sound_output.hpp"

#include <fmt/format.h>

#include <chrono>

namespace afterscope {
namespace {

// SDL does not say how long a buffer waits: while it is being filled, the one before it is being heard and
// one more may lie in between.
constexpr double kBuffersBetween = 2;

class SdlOutput final : public SoundOutput {
 public:
  explicit SdlOutput(Fill fill) : fill_(std::move(fill)) {}
  ~SdlOutput() override {
    if (device_ != 0) SDL_CloseAudioDevice(device_);
  }
  SdlOutput(const SdlOutput&) = delete;
  SdlOutput& operator=(const SdlOutput&) = delete;

  Status Open() {
    if (audio_.ready()) device_ = OpenSdlDevice(false, kSoundChannels, Ask, this);
    if (device_ == 0)
      return Error{ErrorCode::kUnreadable,
                   fmt::format("No sound: this machine has no device that plays it ({}).", SDL_GetError())};
    SDL_PauseAudioDevice(device_, 0);
    return {};
  }
  bool lost() const override { return SDL_GetAudioDeviceStatus(device_) == SDL_AUDIO_STOPPED; }

 private:
  static void Ask(void* self, Uint8* bytes, int count) {
    const auto samples = static_cast<std::size_t>(count) / sizeof(float);
    const std::size_t instants = samples / kSoundChannels;
    const double buffer = static_cast<double>(instants) / kSoundRate;
    static_cast<SdlOutput*>(self)->fill_({reinterpret_cast<float*>(bytes), samples},
                                         SteadySeconds() + kBuffersBetween * buffer);
  }

  Fill fill_;
  SdlAudio audio_;
  SDL_AudioDeviceID device_ = 0;
};

}  // namespace

double SteadySeconds() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

Result<std::unique_ptr<SoundOutput>> OpenSoundDevice(SoundOutput::Fill fill) {
  auto output = std::make_unique<SdlOutput>(std::move(fill));
  AFTERSCOPE_TRY(output->Open());
  return std::unique_ptr<SoundOutput>(std::move(output));
}

}  // namespace afterscope
