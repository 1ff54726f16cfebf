// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/case_clock.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {

CaseClock::CaseClock(const std::vector<RecordingRef>& recordings) {
  for (const RecordingRef& recording : recordings) {
    shapes_.push_back(recording.shape);
    starts_.push_back(total_);
    const TickSpan length = recording.shape.end - recording.shape.first;
    total_ += std::max(0.0, length.Seconds(recording.shape.time_base));
  }
}

double CaseClock::Seconds(FrameRef at) const {
  if (shapes_.empty()) return 0;
  const auto i =
      static_cast<std::size_t>(std::clamp<int>(at.recording, 0, static_cast<int>(shapes_.size()) - 1));
  return starts_[i] + (at.pts - shapes_[i].first).Seconds(shapes_[i].time_base);
}

FrameRef CaseClock::At(double seconds) const {
  if (shapes_.empty() || !(seconds > 0)) return begin();
  if (seconds >= total_) return end();
  const auto after = std::upper_bound(starts_.begin(), starts_.end(), seconds);
  const auto i = static_cast<std::size_t>(after - starts_.begin()) - 1;
  const RecordingShape& shape = shapes_[i];
  // A hair added, so that the seconds of a frame give that frame back.
  const double ticks = std::floor((seconds - starts_[i]) / shape.time_base.value() + 1e-6);
  return {static_cast<int>(i), shape.first + TickSpan{static_cast<std::int64_t>(ticks)}};
}

FrameRef CaseClock::begin() const {
  return shapes_.empty() ? FrameRef{} : FrameRef{0, shapes_.front().first};
}

FrameRef CaseClock::end() const {
  return shapes_.empty() ? FrameRef{} : FrameRef{static_cast<int>(shapes_.size()) - 1, shapes_.back().end};
}

}  // namespace afterscope
