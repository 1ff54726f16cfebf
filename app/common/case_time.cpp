// SPDX-License-Identifier: Apache-2.0
#include "app/common/case_time.hpp"

#include "annotate/case/text.hpp"
#include "annotate/store/fingerprint.hpp"
#include "app/common/console.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <optional>

namespace afterscope {
namespace {

std::optional<std::int64_t> Integer(std::string_view text) {
  std::int64_t value = 0;
  const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || problem != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return value;
}

Error CantRead(const std::string& text) {
  return {
      ErrorCode::kBadCall,
      fmt::format(
          "Can't read the time '{}': give seconds (12.5), a frame index (f300, or 1:f300 in recording 1), "
          "RECORDING:TICKS (0:90000) or 'end'.",
          text)};
}

}  // namespace

CaseTimes::CaseTimes(const CaseSession& session) : session_(session), clock_(session.record().recordings) {}

Result<std::shared_ptr<const FrameTable>> CaseTimes::Table(int number, TableState state) {
  const auto& refs = session_.record().recordings;
  if (number < 0 || number >= static_cast<int>(refs.size()))
    return Error{ErrorCode::kBadCall,
                 fmt::format("There is no recording {}; the case has {}.", number, refs.size())};
  if (!recordings_.contains(number)) {
    const RecordingPlace place = FindRecording(session_.folder(), refs[static_cast<std::size_t>(number)]);
    if (place.path.empty())
      return Error{ErrorCode::kUnreadable, place.message.empty()
                                               ? fmt::format("Recording {} is not at hand.", number)
                                               : place.message};
    Recording::Options options;
    options.recording_number = number;
    AFTERSCOPE_ASSIGN(recordings_[number], Recording::Open(place.path, options));
  }
  return recordings_[number]->WaitForTable(state, ConsoleProgress("Reading the frames"), ConsoleStop());
}

Result<FrameRef> CaseTimes::FromFrame(int recording, const std::string& digits) {
  const auto index = Integer(digits);
  if (!index) return CantRead("f" + digits);
  AFTERSCOPE_ASSIGN(const auto table, Table(recording, TableState::kVerified));
  if (*index < 0 || *index > table->size())
    return Error{ErrorCode::kBadCall, fmt::format("There is no frame {} in recording {}; it has {}.", *index,
                                                  recording, table->size())};
  if (*index == table->size()) return FrameRef{recording, table->end()};
  return FrameRef{recording, (*table)[FrameIndex{*index}].pts};
}

Result<FrameRef> CaseTimes::FromSeconds(double seconds) {
  if (seconds < 0 || seconds > clock_.TotalSeconds() + 1)
    return Error{ErrorCode::kBadCall, fmt::format("{} s lies outside the case, which lasts {:.3f} s.",
                                                  seconds, clock_.TotalSeconds())};
  const FrameRef at = clock_.At(seconds);
  if (at == clock_.end()) return at;
  const auto table = Table(at.recording, TableState::kFromPackets);
  if (!table.ok()) return at;
  const auto index = (*table)->At(at.pts);
  return index ? FrameRef{at.recording, (**table)[*index].pts} : at;
}

Result<FrameRef> CaseTimes::Read(const std::string& text) {
  if (text == "end") return clock_.end();
  if (text.starts_with('f')) return FromFrame(0, text.substr(1));
  const auto colon = text.find(':');
  if (colon == std::string::npos) {
    const auto seconds = NumberFrom(text);
    if (!seconds) return CantRead(text);
    return FromSeconds(*seconds);
  }
  const auto recording = Integer(std::string_view(text).substr(0, colon));
  if (!recording || *recording < 0 || *recording > 1000) return CantRead(text);
  const std::string rest = text.substr(colon + 1);
  if (rest.starts_with('f')) return FromFrame(static_cast<int>(*recording), rest.substr(1));
  const auto ticks = Integer(rest);
  if (!ticks) return CantRead(text);
  return FrameRef{static_cast<int>(*recording), Pts{*ticks}};
}

std::string ReadableTime(double seconds) {
  const auto milliseconds = static_cast<std::int64_t>(std::llround(seconds * 1000));
  return fmt::format("{}:{:02}:{:02}.{:03}", milliseconds / 3600000, milliseconds / 60000 % 60,
                     milliseconds / 1000 % 60, milliseconds % 1000);
}

}  // namespace afterscope
