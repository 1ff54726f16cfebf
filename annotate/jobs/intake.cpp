// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/intake.hpp"

#include "annotate/case/text.hpp"
#include "annotate/jobs/describe_recording.hpp"
#include "annotate/store/case_session.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <set>
#include <string_view>
#include <tuple>
#include <utility>

namespace afterscope {
namespace {

bool IsDigit(char c) { return c >= '0' && c <= '9'; }

std::string LowerExtension(const std::string& path) {
  std::string extension = std::filesystem::path(path).extension().string();
  for (char& c : extension)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return extension;
}

bool LooksLikeRecording(const std::string& name) {
  static const std::vector<std::string> extensions = {".mp4",  ".mov",  ".m4v", ".mkv", ".avi",
                                                      ".mts",  ".m2ts", ".ts",  ".mpg", ".mpeg",
                                                      ".webm", ".mxf",  ".wmv", ".dv",  ".3gp"};
  const std::string extension = LowerExtension(name);
  return !name.starts_with('.') &&
         std::find(extensions.begin(), extensions.end(), extension) != extensions.end();
}

std::string Stem(const FoundRecording& recording) {
  return std::filesystem::path(recording.path).stem().string();
}

int Number(const std::string& digits, std::size_t from, std::size_t count) {
  int value = 0;
  std::from_chars(digits.data() + from, digits.data() + from + count, value);
  return value;
}

// So many digits from each place where a number begins, across the signs that stand within dates and times of
// day; where there are fewer, none from there.
std::vector<std::string> NumbersIn(const std::string& stem, std::size_t count) {
  std::vector<std::string> numbers;
  for (std::size_t from = 0; from < stem.size(); ++from) {
    if (!IsDigit(stem[from]) || (from > 0 && IsDigit(stem[from - 1]))) continue;
    std::string digits;
    for (std::size_t i = from; i < stem.size() && digits.size() < count; ++i) {
      if (IsDigit(stem[i]))
        digits += stem[i];
      else if (std::string_view("-_. T").find(stem[i]) == std::string_view::npos)
        break;
    }
    if (digits.size() == count) numbers.push_back(digits);
  }
  return numbers;
}

std::optional<std::chrono::year_month_day> DayOf(const std::string& digits) {
  const std::chrono::year_month_day day(std::chrono::year(Number(digits, 0, 4)),
                                        std::chrono::month(static_cast<unsigned>(Number(digits, 4, 2))),
                                        std::chrono::day(static_cast<unsigned>(Number(digits, 6, 2))));
  if (!day.ok() || int(day.year()) < 1990 || int(day.year()) > 2100) return std::nullopt;
  return day;
}

struct Link {
  bool continues = false;
  std::string reason;
};

// By the names' clock times, else by when the files were written (their ends).
std::optional<double> GapSeconds(const FoundRecording& before, const FoundRecording& after) {
  if (before.started_s && after.started_s && before.seconds > 0)
    return static_cast<double>(*after.started_s - *before.started_s) - before.seconds;
  if (after.seconds > 0 && before.written_s > 0 && after.written_s > 0)
    return static_cast<double>(after.written_s - before.written_s) - after.seconds;
  return std::nullopt;
}

Link LinkBetween(const FoundRecording& before, const FoundRecording& after, const IntakeOptions& options) {
  const NumberedName a = SplitNumber(Stem(before));
  const NumberedName b = SplitNumber(Stem(after));
  const bool numbered = a.number >= 0 && b.number == a.number + 1 && a.pattern == b.pattern;
  const std::optional<double> gap = GapSeconds(before, after);
  // Overlaps of a second or two are rounding of clock times.
  const bool close = gap && *gap >= -5 && *gap <= options.most_gap_s;
  const bool by_name = before.started_s && after.started_s;
  // Files that were copied together carry the time of the copy: no gap between them says nothing.
  const bool apart = gap && *gap > options.most_gap_s;
  if (numbered && !apart)
    return {true, close ? fmt::format("numbered on, {:.0f} s after the one before", *gap) : "numbered on"};
  if (by_name && close) return {true, fmt::format("{:.0f} s after the end of the one before", *gap)};
  return {};
}

// Each case gets a folder of its own.
void MakeNamesDiffer(std::vector<ProposedCase>& cases) {
  std::set<std::string> taken;
  for (ProposedCase& proposed : cases) proposed.name = TakeName(proposed.name, taken);
}

bool Before(const FoundRecording& a, const FoundRecording& b) {
  if (a.started_s && b.started_s) return std::pair(*a.started_s, a.path) < std::pair(*b.started_s, b.path);
  const NumberedName x = SplitNumber(Stem(a));
  const NumberedName y = SplitNumber(Stem(b));
  return std::tuple(x.pattern, x.number, a.path) < std::tuple(y.pattern, y.number, b.path);
}

// Comparing by clock time where both have one and by name otherwise is no order; those with a time come
// first.
void Sort(std::vector<FoundRecording>& recordings) {
  const auto middle = std::stable_partition(recordings.begin(), recordings.end(),
                                            [](const FoundRecording& r) { return r.started_s.has_value(); });
  std::sort(recordings.begin(), middle, Before);
  std::sort(middle, recordings.end(), Before);
}

}  // namespace

NumberedName SplitNumber(const std::string& stem) {
  std::size_t end = stem.size();
  while (end > 0 && !IsDigit(stem[end - 1])) --end;
  std::size_t start = end;
  while (start > 0 && IsDigit(stem[start - 1])) --start;
  std::int64_t number = -1;
  if (end == start || end - start > 15) return {stem, -1};
  std::from_chars(stem.data() + start, stem.data() + end, number);
  return {stem.substr(0, start) + "#" + stem.substr(end), number};
}

std::optional<std::int64_t> ClockTimeIn(const std::string& stem) {
  for (const std::string& digits : NumbersIn(stem, 14)) {
    const auto day = DayOf(digits);
    const std::int64_t hour = Number(digits, 8, 2);
    const std::int64_t minute = Number(digits, 10, 2);
    const std::int64_t second = Number(digits, 12, 2);
    if (!day || hour > 23 || minute > 59 || second > 59) continue;
    return std::chrono::sys_days(*day).time_since_epoch().count() * 86400LL + hour * 3600 + minute * 60 +
           second;
  }
  return std::nullopt;
}

std::string DateIn(const std::string& stem) {
  for (const std::string& digits : NumbersIn(stem, 8))
    if (DayOf(digits))
      return fmt::format("{}-{}-{}", digits.substr(0, 4), digits.substr(4, 2), digits.substr(6, 2));
  return {};
}

std::vector<ProposedCase> ProposeCases(std::vector<FoundRecording> recordings, const IntakeOptions& options) {
  Sort(recordings);
  std::vector<ProposedCase> cases;
  for (FoundRecording& recording : recordings) {
    const bool usable =
        recording.caution.empty() && !cases.empty() && cases.back().recordings.back().caution.empty();
    const Link link = usable ? LinkBetween(cases.back().recordings.back(), recording, options) : Link{};
    if (link.continues) {
      cases.back().reasons.push_back(link.reason);
    } else {
      cases.push_back({FolderNameOf(Stem(recording)), {}, {}});
    }
    cases.back().recordings.push_back(std::move(recording));
  }
  MakeNamesDiffer(cases);
  return cases;
}

Result<std::vector<FoundRecording>> FindRecordings(
    const std::string& folder, const std::function<Result<double>(const std::string&)>& seconds_of,
    const Progress& progress, const StopQuery& stop, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::vector<std::string> names, files.List(folder));
  std::vector<FoundRecording> found;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (Stopped(stop)) return Error{ErrorCode::kStopped, "Stopped before all recordings were looked at."};
    Report(progress, static_cast<double>(i) / static_cast<double>(names.size()));
    if (!LooksLikeRecording(names[i])) continue;
    FoundRecording recording;
    recording.path = fmt::format("{}/{}", folder, names[i]);
    AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(recording.path));
    if (info.type != FileType::kRegular) continue;
    recording.size = info.size;
    recording.written_s = info.modified_ns / 1'000'000'000;
    recording.started_s = ClockTimeIn(std::filesystem::path(names[i]).stem().string());
    const Result<double> seconds = seconds_of(recording.path);
    if (seconds.ok())
      recording.seconds = *seconds;
    else
      recording.caution = seconds.error().message;
    found.push_back(std::move(recording));
  }
  return found;
}

Status MakeProposedCase(const std::string& folder, const ProposedCase& proposed, const EditGroup& fields,
                        const Progress& progress, const StopQuery& stop) {
  CaseRecord record;
  Review none;
  if (const auto set = ApplyEdits(fields, record, none); !set.ok()) return set.error();
  for (const FoundRecording& found : proposed.recordings) {
    AFTERSCOPE_ASSIGN(RecordingRef recording,
                      DescribeRecording(folder, found.path, TableState::kFromPackets, progress, stop));
    record.recordings.push_back(std::move(recording));
  }
  return CaseSession::Create(folder, record);
}

}  // namespace afterscope
