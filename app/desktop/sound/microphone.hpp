// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <memory>
#include <vector>

namespace afterscope {

// What is spoken into the system's default microphone (mono, kSoundRate), from opening on. Thread-safe.
class Microphone {
 public:
  // May take a moment. One sentence where there is no microphone.
  static Result<std::unique_ptr<Microphone>> Open(double most_seconds);
  virtual ~Microphone() = default;

  virtual double Seconds() const = 0;
  // The loudest sample of the last tenth of a second, 0 to 1.
  virtual float Level() const = 0;
  // Ends it and gives what was recorded, at most `most_seconds`.
  virtual std::vector<float> Take() = 0;
};

}  // namespace afterscope
