// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/recording.hpp"
#include "tests/support/temporary_folder.hpp"

#include <chrono>
#include <memory>
#include <string>
#include <thread>

namespace afterscope {

// So many seconds of 640x480, 25 frames a second with a key frame every 5 s, made with the ffmpeg program.
std::string MovingRecording(const TemporaryFolder& folder, const std::string& name, int seconds);

// Opened with its frame table kept in `cache`.
std::shared_ptr<Recording> Opened(const std::string& file, const std::string& cache);

// Within half a minute.
template <class Condition>
bool ComesTrue(const Condition& condition) {
  for (int waited = 0; !condition() && waited < 3000; ++waited)
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  return condition();
}

}  // namespace afterscope
