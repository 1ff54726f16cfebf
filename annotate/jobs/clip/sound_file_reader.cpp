// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/sound_file_reader.hpp"

#include "annotate/platform/machine.hpp"

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kBlock = 4LL * kSoundRate;  // samples read at once

}  // namespace

Result<SoundFileReader> SoundFileReader::Open(const std::string& path) {
  AFTERSCOPE_ASSIGN(const RegularFile file, LookAtRegularFile(path));
  HelperTask task;
  task.path = file.absolute_path;
  return SoundFileReader(std::move(task));
}

Status SoundFileReader::AddTo(float* out, std::int64_t first, std::int64_t count, float gain,
                              const StopQuery& stop) {
  for (std::int64_t done = 0; done < count;) {
    const std::int64_t at = first + done;
    const auto held = static_cast<std::int64_t>(block_.size()) / kSoundChannels;
    if (at < block_first_ || at >= block_first_ + held) {
      AFTERSCOPE_ASSIGN(block_, source_.Read(at, kBlock, stop));
      block_first_ = at;
      continue;
    }
    const std::int64_t some = std::min(count - done, block_first_ + held - at);
    const float* from = block_.data() + (at - block_first_) * kSoundChannels;
    for (std::int64_t i = 0; i < some * kSoundChannels; ++i) out[done * kSoundChannels + i] += gain * from[i];
    done += some;
  }
  return {};
}

}  // namespace afterscope
