// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/timed_text.hpp"

#include "annotate/exchange/markup.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace afterscope {
namespace {

bool IsDecimal(char c) { return c >= '0' && c <= '9'; }

std::string_view Trim(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

// Lines without their terminators (CR, LF or CRLF) and without a byte-order mark.
std::vector<std::string_view> Lines(std::string_view bytes) {
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  std::vector<std::string_view> lines;
  while (!bytes.empty()) {
    const std::size_t end = bytes.find_first_of("\r\n");
    lines.push_back(bytes.substr(0, end));
    if (end == std::string_view::npos) break;
    const bool crlf = bytes[end] == '\r' && end + 1 < bytes.size() && bytes[end + 1] == '\n';
    bytes.remove_prefix(end + (crlf ? 2 : 1));
  }
  return lines;
}

// Takes 1 to `most` digits off the front; empty if there is none.
std::optional<int> TakeNumber(std::string_view& text, int most) {
  int value = 0;
  int count = 0;
  for (; count < most && !text.empty() && IsDecimal(text.front()); ++count) {
    value = value * 10 + (text.front() - '0');
    text.remove_prefix(1);
  }
  return count > 0 ? std::optional(value) : std::nullopt;
}

// A time as people write it: "12:34", "1:02:03", "01:02:03.5", "00:01,250". Takes it off the front. At least
// one colon.
std::optional<double> TakeLooseTime(std::string_view& text) {
  std::string_view rest = text;
  std::vector<int> parts;
  while (parts.size() < 3) {
    const auto number = TakeNumber(rest, 4);
    if (!number) return std::nullopt;
    parts.push_back(*number);
    if (parts.size() == 3 || rest.empty() || rest.front() != ':') break;
    rest.remove_prefix(1);
  }
  if (parts.size() < 2) return std::nullopt;
  double seconds = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0 && parts[i] >= 60) return std::nullopt;
    seconds = seconds * 60 + parts[i];
  }
  if (rest.size() > 1 && (rest.front() == '.' || rest.front() == ',') && IsDecimal(rest[1])) {
    rest.remove_prefix(1);
    double unit = 0.1;
    for (; !rest.empty() && IsDecimal(rest.front()); rest.remove_prefix(1), unit /= 10)
      seconds += unit * (rest.front() - '0');
  }
  if (!rest.empty() && (IsDecimal(rest.front()) || rest.front() == ':')) return std::nullopt;
  text = rest;
  return seconds;
}

struct Timing {
  double start = 0;
  std::optional<double> end;
};

// "start --> end settings", as WebVTT and SubRip both have it.
std::optional<Timing> ParseTiming(std::string_view line) {
  const std::size_t arrow = line.find("-->");
  if (arrow == std::string_view::npos) return std::nullopt;
  std::string_view before = Trim(line.substr(0, arrow));
  std::string_view after = Trim(line.substr(arrow + 3));
  const auto start = TakeLooseTime(before);
  if (!start || !before.empty()) return std::nullopt;
  return Timing{*start, TakeLooseTime(after)};
}

// Leaves out tags such as <i> or <v Name>, and puts the characters of the escapes.
std::string PlainText(std::string_view text) {
  static constexpr std::pair<std::string_view, std::string_view> kEscapes[] = {
      {"&amp;", "&"}, {"&lt;", "<"}, {"&gt;", ">"}, {"&nbsp;", " "}, {"&lrm;", ""}, {"&rlm;", ""}};
  std::string plain;
  bool closes = true;  // a '>' may follow
  while (!text.empty()) {
    if (closes && text.front() == '<') {
      const std::size_t close = text.find('>');
      closes = close != std::string_view::npos;
      if (closes) {
        text.remove_prefix(close + 1);
        continue;
      }
    }
    const auto* escape = std::find_if(std::begin(kEscapes), std::end(kEscapes),
                                      [&](const auto& e) { return text.starts_with(e.first); });
    if (escape != std::end(kEscapes)) {
      plain += escape->second;
      text.remove_prefix(escape->first.size());
    } else {
      plain += text.front();
      text.remove_prefix(1);
    }
  }
  return plain;
}

void AddLine(std::string& text, std::string_view line) {
  if (!text.empty()) text += '\n';
  text += line;
}

TimedText ReadArrowCues(const std::vector<std::string_view>& lines) {
  TimedText out;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (lines[i].find("-->") == std::string_view::npos) continue;
    const auto timing = ParseTiming(lines[i]);
    if (!timing) {
      out.cautions.push_back(fmt::format("Line {}: the time can't be read; passed over.", i + 1));
      continue;
    }
    Cue cue{timing->start, timing->end, {}};
    while (i + 1 < lines.size() && !Trim(lines[i + 1]).empty() &&
           lines[i + 1].find("-->") == std::string_view::npos)
      AddLine(cue.text, PlainText(Trim(lines[++i])));
    out.cues.push_back(std::move(cue));
  }
  return out;
}

// "[1:02:03] text" or "12:34 text"; lines without a time go on with the text before them.
TimedText ReadTimedLines(const std::vector<std::string_view>& lines) {
  TimedText out;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::string_view line = Trim(lines[i]);
    if (line.empty()) continue;
    const bool bracket = line.front() == '[' || line.front() == '(';
    std::string_view rest = bracket ? line.substr(1) : line;
    const auto start = TakeLooseTime(rest);
    if (!start || (bracket && (rest.empty() || (rest.front() != ']' && rest.front() != ')')))) {
      if (out.cues.empty())
        out.cautions.push_back(
            fmt::format("Line {}: no time before the first timed line; passed over.", i + 1));
      else
        AddLine(out.cues.back().text, line);
      continue;
    }
    if (bracket) rest.remove_prefix(1);
    rest = Trim(rest);
    std::optional<double> end;
    if (rest.starts_with("-")) {  // "12:34 - 12:50 text"
      std::string_view after = Trim(rest.substr(1));
      if ((end = TakeLooseTime(after))) rest = Trim(after);
    }
    while (!rest.empty() && (rest.front() == '-' || rest.front() == ':')) rest = Trim(rest.substr(1));
    out.cues.push_back({*start, end, std::string(rest)});
  }
  return out;
}

void Mend(TimedText& timed) {
  const auto earlier = [](const Cue& a, const Cue& b) { return a.start < b.start; };
  if (!std::is_sorted(timed.cues.begin(), timed.cues.end(), earlier)) {
    std::stable_sort(timed.cues.begin(), timed.cues.end(), earlier);
    timed.cautions.emplace_back("The times were not in order; they were sorted.");
  }
  for (Cue& cue : timed.cues) {
    if (!cue.end || *cue.end > cue.start) continue;
    timed.cautions.push_back(fmt::format("{}: the end is not after the start; it was left out.",
                                         FormatWebVttTimestamp(cue.start)));
    cue.end.reset();
  }
}

std::string FormatTimestamp(double seconds, char separator) {
  const double safe = std::isfinite(seconds) ? std::clamp(seconds, 0.0, 3.6e9) : 0.0;
  const auto total = static_cast<std::int64_t>(std::llround(safe * 1000));
  return fmt::format("{:02}:{:02}:{:02}{}{:03}", total / 3600000, total / 60000 % 60, total / 1000 % 60,
                     separator, total % 1000);
}

// The bytes of what begins here if it is a control character (of one byte, or U+0080 to U+009F) or reorders
// what is around it (U+202A to U+202E, U+2066 to U+2069), else 0; marks of direction, which do not, are of
// use in a caption.
std::size_t HarmfulLength(std::string_view text) {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U; };
  if ((byte(0) < 32 && byte(0) != '\n' && byte(0) != '\t') || byte(0) == 127) return 1;
  if (byte(0) == 0xC2 && byte(1) >= 0x80 && byte(1) <= 0x9F) return 2;
  const bool embeds = byte(1) == 0x80 && byte(2) >= 0xAA && byte(2) <= 0xAE;
  const bool isolates = byte(1) == 0x81 && byte(2) >= 0xA6 && byte(2) <= 0xA9;
  return byte(0) == 0xE2 && (embeds || isolates) ? 3 : 0;
}

// No carriage returns and no blank lines, which would end the cue.
std::string CueText(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    if (const std::size_t harmful = HarmfulLength(text); harmful > 0) {
      text.remove_prefix(harmful);
      continue;
    }
    const bool blank_line = text.front() == '\n' && (out.empty() || out.back() == '\n');
    if (!blank_line) out += text.front();
    text.remove_prefix(1);
  }
  while (!out.empty() && out.back() == '\n') out.pop_back();
  return out;
}

// SubRip has no way to write the arrow of its time lines in a text.
std::string WithoutArrow(std::string_view text) {
  std::string out;
  for (const char c : text) {
    while (c == '>' && out.ends_with("--")) out.pop_back();
    out += c;
  }
  return out;
}

double EndOf(const std::vector<Cue>& cues, std::size_t i) {
  if (cues[i].end && *cues[i].end > cues[i].start) return *cues[i].end;
  if (i + 1 < cues.size() && cues[i + 1].start > cues[i].start) return cues[i + 1].start;
  return cues[i].start + 4;
}

}  // namespace

Result<TimedText> ReadTimedText(std::string_view bytes) {
  if (bytes.find('\0') != std::string_view::npos)
    return Error{ErrorCode::kUnreadable, "The narration can't be read: it is not a text file."};
  const auto lines = Lines(bytes);
  const bool arrows = std::any_of(lines.begin(), lines.end(),
                                  [](std::string_view line) { return ParseTiming(line).has_value(); });
  TimedText timed = arrows ? ReadArrowCues(lines) : ReadTimedLines(lines);
  if (timed.cues.empty())
    return Error{
        ErrorCode::kUnreadable,
        "The narration can't be read: no line has a time; it should be WebVTT, SubRip, or lines that start "
        "with a time such as 12:34."};
  Mend(timed);
  return timed;
}

std::optional<double> ParseWebVttTimestamp(std::string_view text) {
  const std::size_t first = text.find(':');
  if (first == std::string_view::npos) return std::nullopt;
  double hours = 0;
  if (text.find(':', first + 1) != std::string_view::npos) {
    if (first < 2 || !std::all_of(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(first), IsDecimal))
      return std::nullopt;
    for (const char c : text.substr(0, first)) hours = hours * 10 + (c - '0');
    text.remove_prefix(first + 1);
  }
  const auto all_digits = [](std::string_view part) {
    return std::all_of(part.begin(), part.end(), IsDecimal);
  };
  if (text.size() != 9 || text[2] != ':' || text[5] != '.' || !all_digits(text.substr(0, 2)) ||
      !all_digits(text.substr(3, 2)) || !all_digits(text.substr(6)))
    return std::nullopt;
  const auto number = [&](std::size_t at, std::size_t count) {
    int value = 0;
    for (const char c : text.substr(at, count)) value = value * 10 + (c - '0');
    return value;
  };
  if (number(0, 2) > 59 || number(3, 2) > 59) return std::nullopt;
  return hours * 3600 + number(0, 2) * 60 + number(3, 2) + number(6, 3) / 1000.0;
}

std::string FormatWebVttTimestamp(double seconds) { return FormatTimestamp(seconds, '.'); }
std::string FormatSubRipTimestamp(double seconds) { return FormatTimestamp(seconds, ','); }

std::string WriteWebVtt(const std::vector<Cue>& cues) {
  std::string out = "WEBVTT\n";
  for (std::size_t i = 0; i < cues.size(); ++i)
    out += fmt::format("\n{} --> {}\n{}\n", FormatWebVttTimestamp(cues[i].start),
                       FormatWebVttTimestamp(EndOf(cues, i)), EscapedMarkup(CueText(cues[i].text), false));
  return out;
}

std::string WriteSubRip(const std::vector<Cue>& cues) {
  std::string out;
  for (std::size_t i = 0; i < cues.size(); ++i)
    out +=
        fmt::format("{}{}\n{} --> {}\n{}\n", i == 0 ? "" : "\n", i + 1, FormatSubRipTimestamp(cues[i].start),
                    FormatSubRipTimestamp(EndOf(cues, i)), WithoutArrow(CueText(cues[i].text)));
  return out;
}

}  // namespace afterscope
