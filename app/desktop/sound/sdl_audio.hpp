// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <SDL2/SDL.h>

#include <string>

namespace afterscope {

// SDL's sound, without its windows, events or signal handlers, for as long as the object lives.
class SdlAudio {
 public:
  SdlAudio();
  ~SdlAudio();
  SdlAudio(const SdlAudio&) = delete;
  SdlAudio& operator=(const SdlAudio&) = delete;
  bool ready() const { return ready_; }

 private:
  bool ready_ = false;
};

// One kind of device in the program's form of sound, paused. 0: none; SDL_GetError says why.
SDL_AudioDeviceID OpenSdlDevice(bool capture, int channels, SDL_AudioCallback callback, void* user);

}  // namespace afterscope
