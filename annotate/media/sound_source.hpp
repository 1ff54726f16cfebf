// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/media/helper_client.hpp"
#include "annotate/media/sound_format.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// The sample of the file's own clock at which its first frame is shown.
std::int64_t SoundOrigin(const RecordingShape& shape);

// The sound of a file (a recording, or sound alone), decoded in a helper process of its own that may die.
// Thread-compatible.
class SoundSource {
 public:
  static constexpr std::int64_t kMostSamples = 60LL * kSoundRate;  // of one Read

  // Starts the helper at the first Read.
  explicit SoundSource(HelperTask task) : task_(std::move(task)) { task_.sound = true; }

  // Interleaved samples [first, first + count), counted from time zero of the file's own clock; silence where
  // there is none. kUnreadable where the file has no sound or the helper ended (the next call starts another
  // one), kBadCall for more than kMostSamples, kStopped.
  Result<std::vector<float>> Read(std::int64_t first, std::int64_t count, const StopQuery& stop);

 private:
  Result<std::vector<float>> Ask(std::int64_t first, std::int64_t count, const StopQuery& stop);

  HelperTask task_;
  std::unique_ptr<HelperClient> helper_;
};

}  // namespace afterscope
