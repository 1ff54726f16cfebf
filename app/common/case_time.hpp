// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/media/recording.hpp"
#include "annotate/store/case_session.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <memory>
#include <string>

namespace afterscope {

// Reads places in time as commands write them, for one open case:
//   12.5         seconds on the case clock: the frame shown then
//   f300, 1:f300 frame index in the first, or in recording 1 (they count from 0), of the decode-verified
//   table 1:90000      recording and ticks end          the end of the case
// Opens recordings only where it needs their tables; without the recording at hand, seconds are taken as they
// are and a frame index can't be.
class CaseTimes {
 public:
  explicit CaseTimes(const CaseSession& session);

  Result<FrameRef> Read(const std::string& text);

 private:
  Result<std::shared_ptr<const FrameTable>> Table(int recording, TableState state);
  Result<FrameRef> FromFrame(int recording, const std::string& digits);
  Result<FrameRef> FromSeconds(double seconds);

  const CaseSession& session_;
  CaseClock clock_;
  std::map<int, std::unique_ptr<Recording>> recordings_;
};

// Seconds as h:mm:ss.mmm for reading.
std::string ReadableTime(double seconds);

}  // namespace afterscope
