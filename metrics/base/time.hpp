// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/rational.hpp"

#include <compare>
#include <cstddef>
#include <cstdint>
#include <functional>

namespace afterscope {

// Three kinds of number that must not be mixed: an ordinal in display order, a timestamp, a span. Conversion
// between FrameIndex and Pts goes through a recording's frame table only, never through frames per second.
struct FrameIndex {
  std::int64_t value = 0;
  friend auto operator<=>(const FrameIndex&, const FrameIndex&) = default;
};

// A span of time, in ticks of a recording's time base.
struct TickSpan {
  std::int64_t ticks = 0;
  double Seconds(Rational time_base) const { return static_cast<double>(ticks) * time_base.value(); }
  friend auto operator<=>(const TickSpan&, const TickSpan&) = default;
};

// A timestamp, in ticks of a recording's time base, as the file has it (may start anywhere, may be negative).
struct Pts {
  std::int64_t ticks = 0;
  friend auto operator<=>(const Pts&, const Pts&) = default;
  friend TickSpan operator-(Pts a, Pts b) { return {a.ticks - b.ticks}; }
  friend Pts operator+(Pts a, TickSpan d) { return {a.ticks + d.ticks}; }
};

// One frame for ever: the recording's position in the case (0 is the first), and the frame's timestamp. As
// the boundary of a step it may also be the end of the recording, which is no frame.
struct FrameRef {
  int recording = 0;
  Pts pts;
  friend auto operator<=>(const FrameRef&, const FrameRef&) = default;
};

// Half-open: start is in, end is not. Empty if end <= start.
template <class T>
struct HalfOpen {
  T start{};
  T end{};
  bool Contains(const T& at) const { return !(at < start) && at < end; }
  bool empty() const { return !(start < end); }
  bool Overlaps(const HalfOpen& other) const { return start < other.end && other.start < end; }
  friend bool operator==(const HalfOpen&, const HalfOpen&) = default;
};

// True when the caller wants the work to stop; called often, from the working thread. Empty: never.
using StopQuery = std::function<bool()>;
// Share done, 0 to 1, called from the working thread. Empty: nobody listens.
using Progress = std::function<void(double)>;

inline bool Stopped(const StopQuery& stop) { return stop && stop(); }
inline void Report(const Progress& progress, double share) {
  if (progress) progress(share);
}

}  // namespace afterscope

template <>
struct std::hash<afterscope::FrameRef> {
  std::size_t operator()(const afterscope::FrameRef& f) const noexcept {
    return std::hash<std::int64_t>{}(f.pts.ticks) * 31u + std::hash<int>{}(f.recording);
  }
};
