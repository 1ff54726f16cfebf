// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/case_sound.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

std::int64_t SampleAt(double seconds) { return std::llround(seconds * kSoundRate); }

}  // namespace

CaseSound SoundOfCase(const std::vector<std::shared_ptr<Recording>>& recordings, const CaseClock& clock,
                      std::int64_t first, std::int64_t count, const StopQuery& stop) {
  CaseSound sound;
  sound.samples.resize(static_cast<std::size_t>(std::max<std::int64_t>(0, count)) * kSoundChannels);
  const std::vector<double>& starts = clock.Starts();
  for (std::size_t i = 0; i < starts.size() && i < recordings.size(); ++i) {
    const std::int64_t start = SampleAt(starts[i]);
    const std::int64_t end = SampleAt(i + 1 < starts.size() ? starts[i + 1] : clock.TotalSeconds());
    const std::int64_t from = std::max(first, start);
    const std::int64_t to = std::min(first + count, end);
    if (from >= to || !recordings[i]) continue;
    const auto block = recordings[i]->Sound(from - start, to - from, stop);
    if (!block.ok())
      sound.problem = block.error().message;
    else
      std::copy(block->samples.begin(), block->samples.end(),
                sound.samples.begin() + (from - first) * kSoundChannels);
  }
  return sound;
}

}  // namespace afterscope
