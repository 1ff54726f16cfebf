// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/sound_source.hpp"
#include "metrics/base/result.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

// A sound file read from front to back, or from anywhere, in stretches of any length. One thread.
class SoundFileReader {
 public:
  static Result<SoundFileReader> Open(const std::string& path);

  // Adds `gain` times the file's samples [first, first + count) to `out` (interleaved, as many); silence past
  // its end.
  Status AddTo(float* out, std::int64_t first, std::int64_t count, float gain, const StopQuery& stop);

 private:
  explicit SoundFileReader(HelperTask task) : source_(std::move(task)) {}
  SoundSource source_;
  std::int64_t block_first_ = 0;
  std::vector<float> block_;
};

}  // namespace afterscope
