// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/sound_format.hpp"

#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

namespace afterscope {

// Samples that wait to be played, in a buffer of fixed size; counted in frames of kSoundChannels. Not
// thread-safe.
class SoundRing {
 public:
  explicit SoundRing(std::size_t frames) : samples_(frames * kSoundChannels) {}

  std::size_t size() const { return count_ / kSoundChannels; }
  std::size_t room() const { return (samples_.size() - count_) / kSoundChannels; }
  void Clear() { count_ = 0; }

  // What does not fit is left out: ask for room first.
  void Put(std::span<const float> frames) {
    for (const float sample : frames.first(std::min(frames.size(), samples_.size() - count_)))
      samples_[(first_ + count_++) % samples_.size()] = sample;
  }
  // As many as there are, at most what `out` holds; returns how many frames.
  std::size_t Take(std::span<float> out) {
    const std::size_t taken = std::min(out.size(), count_);
    for (std::size_t i = 0; i < taken; ++i) out[i] = samples_[(first_ + i) % samples_.size()];
    Drop(taken / kSoundChannels);
    return taken / kSoundChannels;
  }
  std::size_t Drop(std::size_t frames) {
    const std::size_t dropped = std::min(frames * kSoundChannels, count_);
    first_ = (first_ + dropped) % samples_.size();
    count_ -= dropped;
    return dropped / kSoundChannels;
  }

 private:
  std::vector<float> samples_;
  std::size_t first_ = 0;
  std::size_t count_ = 0;
};

}  // namespace afterscope
