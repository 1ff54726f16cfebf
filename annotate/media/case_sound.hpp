// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/media/recording.hpp"

#include <memory>
#include <string>
#include <vector>

namespace afterscope {

// Sound of a stretch of the case clock, across recordings; sample n is heard at n / kSoundRate seconds of it.
struct CaseSound {
  std::vector<float> samples;  // sound_format.hpp
  std::string problem;  // one sentence where a recording's sound could not be read; empty: nothing wrong
};

// `count` samples from `first` on; each recording is heard only while its pictures last. Silence where a
// recording is missing (null), has no sound, or its sound can't be read.
CaseSound SoundOfCase(const std::vector<std::shared_ptr<Recording>>& recordings, const CaseClock& clock,
                      std::int64_t first, std::int64_t count, const StopQuery& stop);

}  // namespace afterscope
