// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/phantom/script.hpp"

#include <vector>

namespace afterscope {

// Mono sound of a phantom's operation: the handpiece's tone while ultrasound is on, the pump's hum, an
// instrument put down at each change, the room. The same stretch sounds the same however it is cut.
class PhantomSound {
 public:
  PhantomSound(const phantom::Script& script, int sample_rate, std::uint64_t seed);
  // Samples [from, from + count), -1 to 1.
  std::vector<float> Samples(std::int64_t from, int count) const;
  int sample_rate() const { return sample_rate_; }

 private:
  float At(std::int64_t sample, double ultrasound, double aspiration) const;

  const phantom::Script& script_;
  int sample_rate_;
  std::vector<float> noise_;
  std::vector<double> clicks_s_;
};

}  // namespace afterscope
