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
  return {ErrorCode::kBadCall,
          fmt::format(
              "Can't read the time '{}': give seconds (12.5), a time on the case clock (0:17, 1:02:03), a "
              "frame index (f300, or 1:f300 in recording 1), ticks (t90000, 1:t90000) or 'end'.",
              text)};
}

// Two digits below 60.
std::optional<double> Sixtieths(std::string_view text) {
  if (text.size() != 2) return std::nullopt;
  const auto value = Integer(text);
  return value && *value >= 0 && *value < 60 ? std::optional(static_cast<double>(*value)) : std::nullopt;
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

Result<FrameRef> CaseTimes::FromTicks(int recording, const std::string& digits) const {
  const auto ticks = Integer(digits);
  if (!ticks) return CantRead("t" + digits);
  const auto count = session_.record().recordings.size();
  if (recording >= static_cast<int>(count))
    return Error{ErrorCode::kBadCall,
                 fmt::format("There is no recording {}; the case has {}.", recording, count)};
  return FrameRef{recording, Pts{*ticks}};
}

Result<FrameRef> CaseTimes::Read(const std::string& text) {
  if (text == "end") return clock_.end();
  if (const auto seconds = ClockSeconds(text)) return FromSeconds(*seconds);
  std::string place = text;
  std::int64_t recording = 0;
  if (const auto colon = text.find(':'); colon != std::string::npos) {
    const auto number = Integer(std::string_view(text).substr(0, colon));
    if (!number || *number < 0 || *number > 1000) return CantRead(text);
    recording = *number;
    place = text.substr(colon + 1);
  }
  if (place.starts_with('f')) return FromFrame(static_cast<int>(recording), place.substr(1));
  if (place.starts_with('t')) return FromTicks(static_cast<int>(recording), place.substr(1));
  return CantRead(text);
}

std::optional<double> ClockSeconds(std::string_view text) {
  const auto colon = text.rfind(':');
  if (colon == std::string_view::npos) return NumberFrom(std::string(text));
  const std::string_view last = text.substr(colon + 1);
  const auto point = last.find('.');
  const auto seconds = Sixtieths(last.substr(0, point));
  if (!seconds) return std::nullopt;
  double fraction = 0;
  if (point != std::string_view::npos) {
    const std::string_view digits = last.substr(point + 1);
    const auto value = Integer(digits);
    if (!value || *value < 0 || digits.size() > 9) return std::nullopt;
    fraction = static_cast<double>(*value) / std::pow(10, static_cast<double>(digits.size()));
  }
  std::string_view before = text.substr(0, colon);
  double minutes = 0;
  if (const auto first = before.find(':'); first != std::string_view::npos) {
    const auto within = Sixtieths(before.substr(first + 1));
    const auto hours = Integer(before.substr(0, first));
    if (!within || !hours || *hours < 0 || *hours > 1000) return std::nullopt;
    minutes = static_cast<double>(*hours) * 60 + *within;
  } else {
    const auto all = Integer(before);
    if (!all || *all < 0 || *all > 100000) return std::nullopt;
    minutes = static_cast<double>(*all);
  }
  return minutes * 60 + *seconds + fraction;
}

std::string TickText(FrameRef at) { return fmt::format("{}:t{}", at.recording, at.pts.ticks); }

std::string ReadableTime(double seconds) {
  const auto milliseconds = static_cast<std::int64_t>(std::llround(seconds * 1000));
  return fmt::format("{}:{:02}:{:02}.{:03}", milliseconds / 3600000, milliseconds / 60000 % 60,
                     milliseconds / 1000 % 60, milliseconds % 1000);
}

}  // namespace afterscope
