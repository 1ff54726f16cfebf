// SPDX-License-Identifier: Apache-2.0
#include "annotate/media/digest.hpp"
#include "annotate/store/case_check.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/journal.hpp"
#include "annotate/store/told_history.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <functional>

namespace afterscope {
namespace {

std::string TextOf(const std::string& path) { return RealFileSystem().ReadAll(path, 1 << 30).value(); }

OpenCaseOptions FormalBy(const char* reviewer) {
  OpenCaseOptions options;
  options.review = ReviewId{"r1"};
  options.reviewer_code = reviewer;
  options.new_review.kind = ReviewKind::kFormal;
  return options;
}

Status NoteRemark(CaseSession& session, const std::string& text) {
  return session.Commit(
      {"Remark", {Put<Moment>{{session.NewMomentId(), At(10), MomentKind::kRemark, "", text, {}}}}});
}

// A case with a formal review by m1 that holds one remark.
struct FormalCase {
  TemporaryFolder folder;
  std::string path = folder / "case";
  std::string journal = path + "/reviews/r1/journal";
  std::string copy = path + "/reviews/r1/review.json";

  FormalCase() {
    REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
    const auto session = CaseSession::Open(path, FormalBy("m1"));
    REQUIRE(session.ok());
    REQUIRE(NoteRemark(**session, "well done").ok());
  }
  bool Whole() const { return CheckCase(path, false, {}, {}).wrong.empty(); }
  // As any edit does; brings in order what it finds.
  void OpenToWrite() const { static_cast<void>(CaseSession::Open(path, FormalBy("m1"))); }
};

// Changes each line's JSON and chains the lines again, as one could who knows the format.
void Rechain(const std::string& path, const std::function<void(Json&)>& change) {
  std::string bytes;
  std::string head;
  for (JournalLine line : ReadJournal(TextOf(path)).lines) {
    Json json = Json::parse(line.text);
    change(json);
    json["previous"] = head;
    line.text = CompactText(json);
    line.digest = head = Sha256Hex(line.text);
    bytes += FileText(line);
  }
  REQUIRE(ReplaceFile(RealFileSystem(), path, bytes).ok());
}

void ReplaceWord(const std::string& path, const std::string& from, const std::string& to) {
  std::string text = TextOf(path);
  REQUIRE(text.find(from) != std::string::npos);
  text.replace(text.find(from), from.size(), to);
  REQUIRE(ReplaceFile(RealFileSystem(), path, text).ok());
}

void BetterWords(Json& json) {
  if (json.contains("edits")) json["edits"][0]["put_moment"]["text"] = "perfect";
}

// BY/WHAT of each entry of the history.
std::vector<std::string> ToldOf(const std::string& case_folder) {
  const auto told = ToldHistory(case_folder, {"r1"}, RealFileSystem());
  REQUIRE(told.ok());
  std::vector<std::string> lines;
  for (const ToldEntry& entry : *told) {
    lines.push_back(entry.by + "/" + entry.what);
    CHECK(entry.time.size() == std::string("YYYY-MM-DDThh:mm:ssZ").size());
  }
  return lines;
}

}  // namespace

TEST_CASE("A check still finds what was changed from outside after the case was brought in order",
          "[store]") {
  const FormalCase made;
  REQUIRE(made.Whole());
  made.OpenToWrite();
  REQUIRE(made.Whole());
  SECTION("a review's journal, chained again") { Rechain(made.journal, BetterWords); }
  SECTION("a review's journal, taken away") { std::filesystem::remove(made.journal); }
  SECTION("a review's readable copy") { ReplaceWord(made.copy, "well done", "perfect"); }
  SECTION("a word of a review's journal") { ReplaceWord(made.journal, "well done", "very good"); }
  SECTION("the case's journal, taken away") { std::filesystem::remove(made.path + "/journal"); }
  SECTION("the case's readable copy") { ReplaceWord(made.path + "/case.json", "\"eye\"", "\"Eye\""); }
  for (int opened = 0; opened < 3; ++opened) {
    made.OpenToWrite();
    CHECK_FALSE(made.Whole());
  }
}

TEST_CASE("What was damaged in a case without formal or signed reviews is a note once it is in order",
          "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  REQUIRE(NoteRemark(**CaseSession::Open(path, {}), "well done").ok());
  std::filesystem::remove(path + "/reviews/r1/journal");
  REQUIRE(CaseSession::Open(path, {}).ok());
  const CaseCheck check = CheckCase(path, false, {}, {});
  CHECK(check.wrong.empty());
  CHECK(check.notes.size() == 1);
}

TEST_CASE("An id that is there twice is refused, in a journal and in its copy", "[store][damage]") {
  const FormalCase made;
  const std::string moment =
      R"({"id": "o9", "at": {"recording": 0, "ticks": 5}, "kind": "remark", "text": "TEXT"})";
  const auto twice = [&](Json& state) {
    for (const char* text : {"one", "another"}) {
      state["moments"].push_back(Json::parse(moment));
      state["moments"].back()["text"] = text;
    }
  };
  Rechain(made.journal, [&](Json& json) {
    if (json.contains("state")) twice(json["state"]);
  });
  std::filesystem::remove(made.copy);
  const auto opened = CaseSession::Open(made.path, FormalBy("m1"));
  REQUIRE_FALSE(opened.ok());
  CHECK(opened.error().code == ErrorCode::kUnreadable);
  CHECK_FALSE(made.Whole());
}

TEST_CASE("The history of a formal review says who did what when", "[store]") {
  const FormalCase made;
  {
    const auto nobody = CaseSession::Open(made.path, FormalBy(""));
    REQUIRE(nobody.ok());
    const Status refused = NoteRemark(**nobody, "by nobody");
    REQUIRE_FALSE(refused.ok());
    CHECK(refused.error().code == ErrorCode::kBadCall);
    CHECK_FALSE((*nobody)->Undo().ok());
    CHECK((*nobody)->review().moments.size() == 1);
    REQUIRE((*nobody)->Commit({"Eye", {SetCaseField{"eye", "left"}}}).ok());
  }
  {
    const auto other = CaseSession::Open(made.path, FormalBy("m2"));
    REQUIRE(NoteRemark(**other, "by m2").ok());
    REQUIRE((*other)->Undo().ok());
  }
  {
    OpenCaseOptions at_the_window = FormalBy("");
    at_the_window.as_its_reviewer = true;
    REQUIRE((*CaseSession::Open(made.path, at_the_window))->Redo().ok());
  }
  CHECK(ToldOf(made.path) == std::vector<std::string>{"m1/Begin", "m1/Remark", "/Eye", "m2/Remark",
                                                      "m2/Undo: Remark", "m1/Redo: Remark"});
  CHECK_FALSE(ToldHistory(made.path, {"r7"}, RealFileSystem()).ok());
}

TEST_CASE("The history says who scrubbed, unless that was scrubbed", "[store][scrub]") {
  const FormalCase made;
  {
    const auto other = CaseSession::Open(made.path, FormalBy("m2"));
    REQUIRE((*other)->Commit({"Course", {SetCaseField{"extra.course", "of Jane"}}}).ok());
    REQUIRE(NoteRemark(**other, "Jane").ok());
    REQUIRE((*other)->Scrub("Jane").ok());
  }
  CHECK(ToldOf(made.path) == std::vector<std::string>{"m1/Begin", "m1/Remark", "m2/Course", "m2/Remark",
                                                      "m2/Scrub", "m2/Scrub the case's fields"});
  REQUIRE((*CaseSession::Open(made.path, FormalBy("m2")))->Scrub("m2").ok());
  const std::vector<std::string> told = ToldOf(made.path);
  CHECK(told.size() == 8);
  CHECK(told.back().starts_with("/Scrub"));
  for (const std::string& line : told) CHECK(line.find("m2") == std::string::npos);
}

}  // namespace afterscope
