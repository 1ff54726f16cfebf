// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_json.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/edit_json.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/json_text.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/annotate/store/fault_support.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstring>

namespace afterscope {
namespace {

constexpr const char* kDamagedFolder = "/memory/case";

// What a case opens as, and whether anything was said.
struct Opening {
  CaseState state;
  bool told = false;
};

Opening Open(FileSystem& files) {
  const auto session = CaseSession::Open(kDamagedFolder, {{}, "", true}, files);
  if (!session.ok()) return {{}, true};
  return {Comparable((*session)->record(), (*session)->review()), !(*session)->cautions().empty()};
}

std::unique_ptr<MemoryFiles> Copy(const MemoryFiles& files) {
  std::mt19937 none(1);
  return files.AfterPowerLoss([] { return true; }, none);
}

void Overwrite(MemoryFiles& files, const std::string& path, const std::string& bytes) {
  REQUIRE(files.Truncate(path, 0).ok());
  REQUIRE((*files.OpenAppend(path))->Append(bytes).ok());
}

}  // namespace

// Opened without a word, a damaged case must be exactly what was written.
TEST_CASE("Cut at every byte and with each byte flipped, a case is right or says that it is not",
          "[store][damage]") {
  MemoryFiles files;
  CaseState last;
  RunScenario(files, kDamagedFolder, [&](const CaseState& state) { last = state; });
  int openings = 0;
  int refused = 0;
  for (const std::string name :
       {"/case.json", "/journal", "/reviews/r1/review.json", "/reviews/r1/journal"}) {
    const std::string path = kDamagedFolder + name;
    const std::string whole = files.ReadAll(path, 1 << 20).value();
    const auto look = [&](const std::string& bytes, std::size_t at, const char* how) {
      const auto copy = Copy(files);
      Overwrite(*copy, path, bytes);
      const Opening opening = Open(*copy);
      ++openings;
      refused += opening.state.there ? 0 : 1;
      INFO(name << " " << how << " at byte " << at);
      if (!opening.told) REQUIRE(opening.state == last);
    };
    for (std::size_t at = 0; at < whole.size(); ++at) {
      look(whole.substr(0, at), at, "cut");
      std::string flipped = whole;
      flipped[at] = static_cast<char>(flipped[at] ^ (1 << (at % 8)));
      look(flipped, at, "flipped");
    }
  }
  WARN(openings << " damaged openings, " << refused << " refused");
  CHECK(openings > 10000);
}

TEST_CASE("A text of 100 MB in a case's files is refused or passed over, and that is told",
          "[store][damage]") {
  MemoryFiles files;
  RunScenario(files, kDamagedFolder, [](const CaseState&) {});
  const std::string much(100'000'000, 'x');
  for (const std::string name :
       {"/case.json", "/journal", "/reviews/r1/review.json", "/reviews/r1/journal"}) {
    INFO(name);
    const auto copy = Copy(files);
    Overwrite(*copy, kDamagedFolder + name, R"({"code": ")" + much + R"("})" + "\n");
    CHECK(Open(*copy).told);
  }
}

// Whole by its digests, and yet nothing that this program wrote.
TEST_CASE("A journal that starts with recordings of no sense is refused as an edit of them is",
          "[store][damage]") {
  const auto opened = [](const RecordingShape& shape) {
    CaseRecord record = TwoRecordings();
    record.recordings[1].shape = shape;
    const JournalLine line = MakeJournalLine(1, 1, "",
                                             {{"kind", "begin"},
                                              {"format", "afterscope case journal"},
                                              {"version", "1.0"},
                                              {"state", JsonFrom(record)}});
    MemoryFiles files;
    REQUIRE(files.MakeFolder(kDamagedFolder).ok());
    REQUIRE((*files.OpenAppend(std::string(kDamagedFolder) + "/journal"))->Append(FileText(line)).ok());
    return CaseSession::Open(kDamagedFolder, {}, files).ok();
  };
  const RecordingShape good = TwoRecordings().recordings[1].shape;
  CHECK(opened(good));
  RecordingShape bad = good;
  for (const Rational time_base :
       {Rational{1, 4'000'000'000'000}, Rational{1'000'000, 1}, Rational{0, 1}, Rational{-1, 25}}) {
    bad.time_base = time_base;
    CHECK_FALSE(opened(bad));
  }
  bad = good;
  bad.end = Pts{9'000'000'000'000'000'000};  // what goes through its time would not end
  CHECK_FALSE(opened(bad));
  bad = good;
  bad.first = Pts{30001};
  CHECK_FALSE(opened(bad));
}

// What was acknowledged could not be read again.
TEST_CASE("A journal at the end of its numbers is read, and not written any more", "[store][damage]") {
  const auto begun = [](std::int64_t entry, std::int64_t order) {
    return FileText(MakeJournalLine(entry, order, "",
                                    {{"kind", "begin"},
                                     {"format", "afterscope case journal"},
                                     {"version", "1.0"},
                                     {"state", JsonFrom(TwoRecordings())}}));
  };
  const std::string path = std::string(kDamagedFolder) + "/journal";
  const auto edited = [&](std::int64_t entry, std::int64_t order) {
    MemoryFiles files;
    REQUIRE(files.MakeFolder(kDamagedFolder).ok());
    REQUIRE((*files.OpenAppend(path))->Append(begun(entry, order)).ok());
    const auto session = CaseSession::Open(kDamagedFolder, {}, files);
    REQUIRE(session.ok());
    const bool written = (*session)->Commit({"Code", {SetCaseField{"code", "k7"}}}).ok();
    const std::string bytes = files.ReadAll(path, 1 << 20).value();
    CHECK(ReadJournal(bytes).dropped_bytes == 0);
    CHECK(ReadJournal(bytes).lines.size() == (written ? 2 : 1));
    return written;
  };
  CHECK(edited(1, 1));
  CHECK(edited(kMostEntry - 1, kMostEntry - 8));
  CHECK_FALSE(edited(kMostEntry, 1));
  CHECK_FALSE(edited(1, kMostEntry));
}

// The names follow the public parsing test suites: y_ must be read, n_ must be refused.
TEST_CASE("Strict JSON within limits", "[store][damage]") {
  const std::string y[] = {"[]",
                           "{}",
                           "[1e10]",
                           "[-0]",
                           "[\"\\u00e9\\ud834\\udd1e\"]",
                           "[9007199254740993]",
                           " [1] ",
                           "{\"a\":{\"a\":1}}",
                           "[123e-10000000]",
                           "\"x\"",
                           "[\"\\\"\\\\\\/\\b\\f\\n\\r\\t\"]"};
  for (const std::string& text : y) {
    INFO(text);
    CHECK(ParseJson(text, "it").ok());
  }
  const std::string n[] = {"",
                           "[",
                           "[1,]",
                           "{\"a\":1,}",
                           "[NaN]",
                           "[Infinity]",
                           "[1e400]",
                           "[-1e400]",
                           "[01]",
                           "[+1]",
                           "[.5]",
                           "['a']",
                           "{a:1}",
                           "[\"\\ud800\"]",
                           "[\"\\u0000\"]",
                           "[\"\xff\"]",
                           "[\"\xc0\x80\"]",
                           "[\"\xed\xa0\x80\"]",
                           "\xEF\xBB\xBF[]",
                           "[1] x",
                           "{\"a\":1,\"a\":2}",
                           "[\"\n\"]",
                           "// c\n[]",
                           "[tru]",
                           std::string("[\"a\0\"]", 6),
                           std::string(100000, '['),
                           "[\"" + std::string(65537, 'x') + "\"]"};
  for (const std::string& text : n) {
    INFO(text.substr(0, 60));
    const auto json = ParseJson(text, "it");
    REQUIRE_FALSE(json.ok());
    CHECK(json.error().code == ErrorCode::kUnreadable);
    CHECK(json.error().message.ends_with("."));
  }
  CHECK(ParseJson(std::string(64, '[') + std::string(64, ']'), "it").ok());
  CHECK_FALSE(ParseJson(std::string(65, '[') + std::string(65, ']'), "it").ok());
  std::string many = "[0";
  for (int i = 0; i < 1'000'000; ++i) many += ",0";
  CHECK_FALSE(ParseJson(many + "]", "it").ok());
}

TEST_CASE("Every edit is the same after writing and reading, numbers to the last bit", "[store]") {
  std::mt19937 random(5);
  std::uniform_int_distribution<std::uint64_t> bits;
  for (int i = 0; i < 2000; ++i) {
    EditGroup group = RandomGroup(random);
    Mark mark{{"m1"}, At(5), MarkKind::kRhexis, {}, "", {}};
    for (int k = 0; k < 4; ++k) {
      const auto pattern = bits(random);
      double value = 0;
      static_assert(sizeof value == sizeof pattern);
      std::memcpy(&value, &pattern, sizeof value);
      if (std::isfinite(value)) mark.points.push_back({value, -value});
    }
    group.edits.emplace_back(Put<Mark>{mark});
    const std::string text = CompactText(JsonFrom(group.edits));
    const auto json = ParseJson(text, "it");
    REQUIRE(json.ok());
    const auto edits = EditsFrom(*json, "it");
    REQUIRE(edits.ok());
    CHECK(CompactText(JsonFrom(*edits)) == text);
    const auto* back = std::get_if<Put<Mark>>(&edits->back());
    REQUIRE(back);
    REQUIRE(back->item == mark);
  }
}

TEST_CASE("Files of edits in a wrong form are refused in words", "[store][damage]") {
  const char* texts[] = {
      "1",
      "[1]",
      "{}",
      R"({"edits":1})",
      R"({"edits":[1]})",
      R"({"edits":[{}]})",
      R"({"edits":[{"put_mood":{}}]})",
      R"({"edits":[{"put_visit":[]}]})",
      R"({"edits":[{"put_visit":{"id":"v1","step":"a"}}]})",
      R"({"edits":[{"put_visit":{"id":"v1","step":"a","start":{"recording":0,"ticks":1.5}}}]})",
      R"({"edits":[{"put_visit":{"id":"v1","step":"a","start":{"recording":99999999999,"ticks":1}}}]})",
      R"({"edits":[{"put_visit":{"id":"v1","step":"a","start":{"recording":0,"ticks":99999999999999999999}}}]})",
      R"({"edits":[{"put_mark":{"id":"m1","at":{"recording":0,"ticks":1},"kind":"square","points":[[1,2]]}}]})",
      R"({"edits":[{"put_mark":{"id":"m1","at":{"recording":0,"ticks":1},"kind":"limbus","points":[[1]]}}]})",
      R"({"edits":[{"remove_visit":1}]})",
      R"({"edits":[{"set_trail_points":{"trail":"t1","points":[[0,1,2,3]]}}]})",
      R"({"edits":[{"set_recordings":{}}]})",
      R"({"edits":[{"set_check":{"key":"a","state":"maybe"}}]})"};
  for (const char* text : texts) {
    INFO(text);
    const auto groups = EditGroupsFrom(ParseJson(text, "it").value(), "it");
    REQUIRE_FALSE(groups.ok());
    CHECK(groups.error().message.ends_with("."));
  }
}

}  // namespace afterscope
