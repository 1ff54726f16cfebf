// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <functional>
#include <memory>
#include <span>

namespace afterscope {

// Seconds of a clock that never goes back; the one that sound is timed by.
double SteadySeconds();

// Where sound goes: asks for samples (sound_format.hpp) on a thread of its own until it is destroyed.
class SoundOutput {
 public:
  // Fills all of `out`; `heard_at` is when its first sample will be heard, by SteadySeconds.
  using Fill = std::function<void(std::span<float> out, double heard_at)>;
  using Opener = std::function<Result<std::unique_ptr<SoundOutput>>(Fill)>;

  virtual ~SoundOutput() = default;
  // The device was unplugged or failed.
  virtual bool lost() const = 0;
};

// The system's default device through SDL; may take a moment. One sentence where there is none.
Result<std::unique_ptr<SoundOutput>> OpenSoundDevice(SoundOutput::Fill fill);

}  // namespace afterscope
