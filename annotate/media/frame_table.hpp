// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/rational.hpp"
#include "metrics/base/time.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

struct FrameEntry {
  Pts pts;
  TickSpan duration;                // until the next frame; the last one's own
  bool key = false;                 // decoding can start here
  std::int64_t file_position = -1;  // of its packet, -1: not known
  bool damaged = false;
};

// How good a table is. Each state is better than the one before.
enum class TableState {
  kFromContainer,  // the container's own index, at once; timestamps may be off
  kFromPackets,  // every packet read; provisional (edit lists, missing timestamps, frames that never decode)
  kVerified,     // every frame decoded; final
};

// The frames of a recording in display order, timestamps strictly increasing.
class FrameTable {
 public:
  FrameTable() = default;
  FrameTable(std::vector<FrameEntry> frames, Rational time_base, TableState state,
             std::vector<std::string> cautions = {});

  TableState state() const { return state_; }
  Rational time_base() const { return time_base_; }
  std::int64_t size() const { return static_cast<std::int64_t>(frames_.size()); }
  bool empty() const { return frames_.empty(); }
  const FrameEntry& operator[](FrameIndex i) const { return frames_[static_cast<std::size_t>(i.value)]; }
  const std::vector<FrameEntry>& frames() const { return frames_; }
  const std::vector<std::string>& cautions() const {
    return cautions_;
  }  // damage, reconstructed timestamps ...

  // The frame shown at that time: the last one whose timestamp is not after it; empty if it lies before the
  // first frame or the table is empty.
  std::optional<FrameIndex> At(Pts pts) const;
  // The frame with exactly that timestamp.
  std::optional<FrameIndex> Exactly(Pts pts) const;
  // The last key frame not after `i`.
  std::optional<FrameIndex> KeyBefore(FrameIndex i) const;
  Pts begin() const;  // {} if empty
  Pts end() const;    // last timestamp plus its duration
  // The median distance from one frame to the next (of a thousand spread evenly); 0 with fewer than two.
  TickSpan UsualInterval() const;

 private:
  std::vector<FrameEntry> frames_;
  Rational time_base_{1, 1000};
  TableState state_ = TableState::kFromContainer;
  std::vector<std::string> cautions_;
};

}  // namespace afterscope
