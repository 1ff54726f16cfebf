// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/frame_table.hpp"

#include <algorithm>

namespace afterscope {

FrameTable::FrameTable(std::vector<FrameEntry> frames, Rational time_base, TableState state,
                       std::vector<std::string> cautions)
    : frames_(std::move(frames)), time_base_(time_base), state_(state), cautions_(std::move(cautions)) {}

std::optional<FrameIndex> FrameTable::At(Pts pts) const {
  const auto after = std::upper_bound(frames_.begin(), frames_.end(), pts,
                                      [](Pts value, const FrameEntry& frame) { return value < frame.pts; });
  if (after == frames_.begin()) return std::nullopt;
  return FrameIndex{after - frames_.begin() - 1};
}

std::optional<FrameIndex> FrameTable::Exactly(Pts pts) const {
  const auto index = At(pts);
  return index && (*this)[*index].pts == pts ? index : std::nullopt;
}

std::optional<FrameIndex> FrameTable::KeyBefore(FrameIndex i) const {
  for (std::int64_t k = std::min(i.value, size() - 1); k >= 0; --k)
    if ((*this)[{k}].key) return FrameIndex{k};
  return std::nullopt;
}

TickSpan FrameTable::UsualInterval() const {
  if (frames_.size() < 2) return {};
  constexpr std::size_t kMost = 1000;
  const std::size_t intervals = frames_.size() - 1, count = std::min(intervals, kMost);
  std::vector<TickSpan> sample;
  for (std::size_t k = 0; k < count; ++k) {
    const std::size_t i = k * intervals / count;
    sample.push_back(frames_[i + 1].pts - frames_[i].pts);
  }
  const auto middle = sample.begin() + static_cast<std::ptrdiff_t>(count / 2);
  std::nth_element(sample.begin(), middle, sample.end());
  return *middle;
}

Pts FrameTable::begin() const { return empty() ? Pts{} : frames_.front().pts; }
Pts FrameTable::end() const { return empty() ? Pts{} : frames_.back().pts + frames_.back().duration; }

}  // namespace afterscope
