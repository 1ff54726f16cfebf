// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/intake.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

namespace afterscope {
namespace {

FoundRecording Found(const std::string& name, double seconds, std::int64_t written = 0) {
  FoundRecording recording{"d/" + name, 1000, seconds, {}, written, ""};
  recording.started_s = ClockTimeIn(name.substr(0, name.find('.')));
  return recording;
}

// "a+b c": cases separated by spaces, recordings joined by +.
std::string Text(const std::vector<ProposedCase>& cases) {
  std::string text;
  for (const ProposedCase& one : cases) {
    if (!text.empty()) text += " ";
    for (std::size_t i = 0; i < one.recordings.size(); ++i) {
      if (i > 0) text += "+";
      text += one.recordings[i].path.substr(2);
    }
  }
  return text;
}

}  // namespace

// 2019-10-16 10:13:16 UTC is 1571220796 (date -u -d '2019-10-16 10:13:16' +%s of GNU coreutils).
TEST_CASE("Clock times are read from names", "[intake]") {
  CHECK(ClockTimeIn("2019-10-16_10-13-16_V") == 1571220796);
  CHECK(ClockTimeIn("rec20191016101316") == 1571220796);
  CHECK(ClockTimeIn("20191016T101316_2") == 1571220796);
  CHECK(ClockTimeIn("OR2_20191016_101316") == 1571220796);
  CHECK(ClockTimeIn("room 12 2019-10-16 10.13.16 0003") == 1571220796);
  CHECK_FALSE(ClockTimeIn("2019-13-16_10-13-16"));
  CHECK_FALSE(ClockTimeIn("2019-10-16_25-13-16"));
  CHECK_FALSE(ClockTimeIn("00000012"));
  CHECK_FALSE(ClockTimeIn(""));
}

TEST_CASE("A date is read from a name without a time of day", "[intake]") {
  CHECK(DateIn("2019-10-16 second list") == "2019-10-16");
  CHECK(DateIn("OR2_20191016_0004") == "2019-10-16");
  CHECK(DateIn("2019-13-16").empty());
  CHECK(DateIn("CASE_00000012").empty());
  CHECK(DateIn("").empty());
}

TEST_CASE("A last number is told from the rest of a name", "[intake]") {
  CHECK(SplitNumber("CASE_0012_2").number == 2);
  CHECK(SplitNumber("CASE_0012_2").pattern == "CASE_0012_#");
  CHECK(SplitNumber("M2U00031a").number == 31);
  CHECK(SplitNumber("none").number == -1);
  CHECK(SplitNumber(std::string(40, '9')).number == -1);
}

TEST_CASE("Split files are joined by number, time and gap", "[intake]") {
  // Numbered parts whose times touch, then one much later.
  CHECK(Text(ProposeCases(
            {Found("op_2.mp4", 600, 1600), Found("op_1.mp4", 600, 1000), Found("op_3.mp4", 600, 9000)},
            {})) == "op_1.mp4+op_2.mp4 op_3.mp4");
  // Copied together: the files' times say nothing, the numbers do.
  CHECK(Text(ProposeCases(
            {Found("a1.mp4", 600, 5000), Found("a2.mp4", 600, 5001), Found("b1.mp4", 600, 5002)}, {})) ==
        "a1.mp4+a2.mp4 b1.mp4");
  // Clock times in the names: 60 s gap joins, 10 minutes do not; an hour's operation in between is no gap.
  CHECK(Text(ProposeCases({Found("2026-01-05_09-00-00.mp4", 600), Found("2026-01-05_09-11-00.mp4", 300),
                           Found("2026-01-05_09-26-00.mp4", 60)},
                          {})) == "2026-01-05_09-00-00.mp4+2026-01-05_09-11-00.mp4 2026-01-05_09-26-00.mp4");
  CHECK(Text(ProposeCases({Found("2026-01-05_09-00-00.mp4", 600), Found("2026-01-05_09-11-00.mp4", 300)},
                          {30})) == "2026-01-05_09-00-00.mp4 2026-01-05_09-11-00.mp4");
  CHECK(ProposeCases({}, {}).empty());
}

TEST_CASE("Each case gets a name of its own", "[intake]") {
  std::vector<std::string> names;
  for (const ProposedCase& one : ProposeCases(
           {Found("a.mp4", 5), Found("a.mov", 5), Found("a-2.avi", 5), Found("b.mp4", 5), Found("a.mkv", 5)},
           {}))
    names.push_back(one.name);
  std::sort(names.begin(), names.end());
  CHECK(std::adjacent_find(names.begin(), names.end()) == names.end());
  CHECK(std::count(names.begin(), names.end(), "a") == 1);
  CHECK(std::count(names.begin(), names.end(), "b") == 1);
}

}  // namespace afterscope
