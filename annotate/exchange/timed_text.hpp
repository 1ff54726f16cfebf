// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// Words that belong to a stretch of time.
struct Cue {
  double start = 0;           // seconds, >= 0
  std::optional<double> end;  // seconds, > start; empty: the source does not say
  std::string text;           // UTF-8, lines separated by '\n', no mark-up
  friend bool operator==(const Cue&, const Cue&) = default;
};

struct TimedText {
  std::vector<Cue> cues;              // in order of start
  std::vector<std::string> cautions;  // what was mended or passed over, with line numbers
};

// Reads WebVTT (W3C), SubRip, or plain lines that start with a time in square brackets or not ("[1:02:03]
// text", "12:34 text"); which of them is told from the content. Sloppy input is mended and said: cues out of
// order are sorted, an end that is not after its start is dropped, a comma is taken for a full stop. Fails if
// no line has a time, or if the bytes are no text.
Result<TimedText> ReadTimedText(std::string_view bytes);

// A timestamp by the letter of WebVTT: `[hh+:]mm:ss.ttt`. Empty if it is not one.
std::optional<double> ParseWebVttTimestamp(std::string_view text);
std::string FormatWebVttTimestamp(double seconds);  // negative and non-finite become 0
std::string FormatSubRipTimestamp(double seconds);

// Cues without an end last until the next one starts, or for four seconds; text is escaped in WebVTT; blank
// lines inside a text are left out, since they would end the cue. An empty list gives a valid file without
// cues.
std::string WriteWebVtt(const std::vector<Cue>& cues);
std::string WriteSubRip(const std::vector<Cue>& cues);

}  // namespace afterscope
