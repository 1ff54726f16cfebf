// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/media/recording.hpp"
#include "annotate/store/case_session.hpp"
#include "metrics/base/result.hpp"

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

namespace afterscope {

// Reads places in time as commands write them, for one open case:
//   12.5, 0:17, 1:02:03.4   seconds, minutes and seconds, hours too, on the case clock: the frame shown then
//   f300, 1:f300            frame index of the verified table, in the first recording or in recording 1
//   t90000, 1:t90000        ticks of the first recording, or of recording 1
//   end                     the end of the case
// Recordings count from 0. Opens them only where it needs their tables; without the recording at hand, times
// are taken as they are and a frame index can't be.
class CaseTimes {
 public:
  explicit CaseTimes(const CaseSession& session);

  Result<FrameRef> Read(const std::string& text);

 private:
  Result<std::shared_ptr<const FrameTable>> Table(int recording, TableState state);
  Result<FrameRef> FromFrame(int recording, const std::string& digits);
  Result<FrameRef> FromTicks(int recording, const std::string& digits) const;
  Result<FrameRef> FromSeconds(double seconds);

  const CaseSession& session_;
  CaseClock clock_;
  std::map<int, std::unique_ptr<Recording>> recordings_;
};

// "12.5", "0:17", "75:00", "1:02:03.4" as seconds; empty for anything else (minutes and seconds after a colon
// have two digits and are below 60).
std::optional<double> ClockSeconds(std::string_view text);
// What help says of a time.
inline constexpr const char* kTimeForms =
    "12.5 (seconds), 0:17, 1:02:03, f300 (frame), t90000 (ticks) or end";
// A frame as CaseTimes reads it, exactly: "0:t90000".
std::string TickText(FrameRef at);
// Seconds as h:mm:ss.mmm for reading.
std::string ReadableTime(double seconds);

}  // namespace afterscope
