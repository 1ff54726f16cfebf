// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sound/sdl_audio.hpp"

#include "annotate/media/sound_format.hpp"

#include <mutex>

namespace afterscope {
namespace {

constexpr Uint16 kBuffer = 512;  // frames at once; 11 ms

// SDL counts its users without a lock.
std::mutex& UseMutex() {
  static std::mutex mutex;
  return mutex;
}

}  // namespace

SdlAudio::SdlAudio() {
  const std::lock_guard lock(UseMutex());
  SDL_SetHint(SDL_HINT_NO_SIGNAL_HANDLERS, "1");
  SDL_SetHint(SDL_HINT_AUDIO_DEVICE_APP_NAME, "Afterscope");
  SDL_SetMainReady();
  ready_ = SDL_InitSubSystem(SDL_INIT_AUDIO) == 0;
}

SdlAudio::~SdlAudio() {
  const std::lock_guard lock(UseMutex());
  if (ready_) SDL_QuitSubSystem(SDL_INIT_AUDIO);
}

SDL_AudioDeviceID OpenSdlDevice(bool capture, int channels, SDL_AudioCallback callback, void* user) {
  SDL_AudioSpec wanted{};
  wanted.freq = kSoundRate;
  wanted.format = AUDIO_F32SYS;
  wanted.channels = static_cast<Uint8>(channels);
  wanted.samples = kBuffer;
  wanted.callback = callback;
  wanted.userdata = user;
  const std::lock_guard lock(UseMutex());
  return SDL_OpenAudioDevice(nullptr, capture ? 1 : 0, &wanted, nullptr, 0);
}

}  // namespace afterscope
