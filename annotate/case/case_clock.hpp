// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// Seconds since the first frame of the first recording, across the recordings of a case in order; each lasts
// from its first timestamp to its `end`, and what lies between two recordings counts zero.
class CaseClock {
 public:
  CaseClock() = default;
  explicit CaseClock(const std::vector<RecordingRef>& recordings);

  // Where a frame or boundary lies; positions outside the recording are continued in its time base. A
  // recording number that the case does not have is taken to the nearest one that it has; 0 without
  // recordings.
  double Seconds(FrameRef at) const;
  // The recording and ticks at that time, ticks rounded down, clamped to the case.
  FrameRef At(double seconds) const;
  double TotalSeconds() const { return total_; }
  // Where each recording begins, in seconds.
  const std::vector<double>& Starts() const { return starts_; }
  FrameRef begin() const;
  FrameRef end() const;  // the end boundary of the last recording

 private:
  std::vector<RecordingShape> shapes_;
  std::vector<double> starts_;
  double total_ = 0;
};

}  // namespace afterscope
