// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/sound_format.hpp"
#include "metrics/base/result.hpp"

#include <memory>
#include <span>
#include <vector>

namespace afterscope {

// Makes sound faster or slower and keeps its pitch: what was at second t of the sound that went in stands at
// t / tempo of what comes out, its middle within kWithinSeconds (overlapping pieces of 43 ms are moved a
// little so that their waves fit; a sharp beginning may be heard up to a piece early). Thread-compatible.
class SoundTempo {
 public:
  static constexpr double kSlowest = 0.5;
  static constexpr double kFastest = 2;
  static constexpr double kWithinSeconds = 0.010;

  // kBadCall for a tempo beyond the two.
  static Result<std::unique_ptr<SoundTempo>> Make(double tempo);
  ~SoundTempo();
  SoundTempo(const SoundTempo&) = delete;
  SoundTempo& operator=(const SoundTempo&) = delete;

  // Takes samples (sound_format.hpp) and returns those that are ready.
  std::vector<float> Push(std::span<const float> samples);
  // Nothing follows: the rest comes out.
  std::vector<float> Finish();

 private:
  struct Graph;
  explicit SoundTempo(std::unique_ptr<Graph> graph);
  std::unique_ptr<Graph> graph_;  // null: normal tempo, nothing to do
};

}  // namespace afterscope
