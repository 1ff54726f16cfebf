// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/media/helper/av.hpp"

#include <cstdint>
#include <deque>
#include <optional>
#include <span>
#include <vector>

namespace afterscope {

// Decoded sound brought into the program's one form (sound_format.hpp) and put where its timestamps say.
// Holes and overlaps of up to kSlackSeconds between frames that follow each other are the container's
// rounding and are closed; larger ones are left, and read as silence. The samples of a stretch are the same
// wherever decoding began, but for the codec's own run-in. Thread-compatible.
class PlacedSound {
 public:
  static constexpr double kSlackSeconds = 0.012;

  // `seconds_at` is the frame's place on the clock; empty: it follows the one before.
  void Add(const AVFrame& frame, std::optional<double> seconds_at);
  // Nothing follows: what the resampler holds back comes out.
  void Close();
  void Clear();
  // The sample after the last one there is; empty: there is none yet.
  std::optional<std::int64_t> end() const;
  // Where the next frame belongs if it follows without a hole; empty: none came before.
  std::optional<double> next_seconds() const;
  // Fills the whole of `out` from sample `first` on, with silence where nothing is.
  void Copy(std::int64_t first, std::span<float> out) const;
  void ForgetBefore(std::int64_t sample);

 private:
  struct Piece {
    std::int64_t start = 0;
    std::vector<float> samples;
    std::int64_t end() const;
  };
  bool IsLikeBefore(const AVFrame& frame) const;
  bool Begin(const AVFrame& frame, std::int64_t at);
  void Convert(const std::uint8_t** data, int count);

  std::deque<Piece> pieces_;
  AvPtr<SwrContext> resampler_;  // of the last piece, while it may go on
  int rate_ = 0;                 // of the frames that go into it
  int format_ = -1;
  int channels_ = 0;
  std::int64_t next_ = 0;  // sample of the frames' own rate that the next frame begins with
};

}  // namespace afterscope
