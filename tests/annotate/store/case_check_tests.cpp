// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_check.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/annotate/store/fault_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>

namespace afterscope {

TEST_CASE("A check finds a changed journal and a changed recording", "[store]") {
  const TemporaryFolder folder;
  FileSystem& files = RealFileSystem();
  REQUIRE(ReplaceFile(files, folder / "a.mp4", std::string(100000, 'a')).ok());
  const std::string path = folder / "cases/one";
  CaseRecord record = TwoRecordings();
  record.recordings.resize(1);
  record.recordings[0].path = PathInCase(path, folder / "a.mp4");
  record.recordings[0].fingerprint = *SampleFingerprint(folder / "a.mp4");
  record.recordings[0].fingerprint.full_sha256 = *FullDigest(folder / "a.mp4", {}, {});
  REQUIRE(MakeFolders(files, folder / "cases").ok());
  REQUIRE(CaseSession::Create(path, record).ok());
  {
    auto session = CaseSession::Open(path, {});
    REQUIRE((*session)->Commit({"Eye", {SetCaseField{"eye", "left"}}}).ok());
    REQUIRE((*session)->Commit({"Check", {SetCheck{"wound_tight", CheckState::kSeenDone}}}).ok());
  }
  std::vector<std::string> passed_over;
  CHECK(FindCases(folder.path(), passed_over).value() == std::vector<std::string>{path});
  CHECK(passed_over.empty());
  const CaseCheck whole = CheckCase(path, true, {}, {});
  CHECK(whole.wrong.empty());
  CHECK(whole.reviews == 1);
  CHECK(whole.recordings.at(0).verified);

  std::string journal = files.ReadAll(path + "/journal", 1 << 20).value();
  journal.replace(journal.rfind("\"left\""), 6, "\"LEFT\"");
  REQUIRE(ReplaceFile(files, path + "/journal", journal).ok());
  REQUIRE(ReplaceFile(files, folder / "a.mp4", std::string(100000, 'b')).ok());
  const CaseCheck bad = CheckCase(path, false, {}, {});
  CHECK(bad.wrong.size() >= 2);
  CHECK(bad.recordings.at(0).state == RecordingState::kDifferent);
  // Nothing was changed by looking.
  CHECK(files.ReadAll(path + "/journal", 1 << 20).value() == journal);
}

TEST_CASE("A check notes a readable copy that is gone and an entry that is not whole", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  {
    auto session = CaseSession::Open(path, {});
    REQUIRE((*session)->Commit({"Check", {SetCheck{"wound_tight", CheckState::kSeenDone}}}).ok());
  }
  const auto noted = [&] {
    const CaseCheck check = CheckCase(path, false, {}, {});
    CHECK(check.wrong.empty());
    return check.notes;
  };
  CHECK(noted().empty());
  for (const std::string& inside : {path, path + "/reviews/r1"}) {
    const std::string copy = inside + (inside == path ? "/case.json" : "/review.json");
    const std::string kept = RealFileSystem().ReadAll(copy, 1 << 20).value();
    std::filesystem::remove(copy);
    CHECK(noted().size() == 1);
    REQUIRE(ReplaceFile(RealFileSystem(), copy, kept).ok());
    REQUIRE((*RealFileSystem().OpenAppend(inside + "/journal"))->Append("0123 {\"entry\"").ok());
    CHECK(noted().size() == 1);
    REQUIRE(CaseSession::Open(path, {}).ok());  // drops it
  }
  CHECK(noted().empty());
}

TEST_CASE("A review that speaks of a recording which its case lacks is told", "[store]") {
  const TemporaryFolder folder;
  REQUIRE(CaseSession::Create(folder / "two", TwoRecordings()).ok());
  CaseRecord record = TwoRecordings();
  record.recordings.resize(1);
  REQUIRE(CaseSession::Create(folder / "one", record).ok());
  const auto told = [&] {
    std::filesystem::remove_all(folder / "one/reviews");
    std::filesystem::copy(folder / "two/reviews", folder / "one/reviews",
                          std::filesystem::copy_options::recursive);
    const auto wrong = CheckCase(folder / "one", false, {}, {}).wrong;
    return std::count(wrong.begin(), wrong.end(),
                      "The review 'r1' speaks of a recording that the case does not have.");
  };
  auto session = CaseSession::Open(folder / "two", {});
  REQUIRE((*session)
              ->Commit({"Tag", {Put<StepVisit>{{VisitId{"v1"}, "rhexis", 0, At(1000), {}, "", false}}}})
              .ok());
  CHECK(told() == 0);
  REQUIRE((*session)
              ->Commit({"Tag", {Put<StepVisit>{{VisitId{"v2"}, "lens", 0, At(2000, 1), {}, "", false}}}})
              .ok());
  CHECK(told() == 1);
}

TEST_CASE("A folder that can't be looked into is told so", "[store]") {
  MemoryFiles files;
  std::vector<std::string> passed_over;
  const auto cases = FindCases("/memory/nowhere", passed_over, files);
  REQUIRE_FALSE(cases.ok());
  CHECK(cases.error().code == ErrorCode::kUnreadable);
  CHECK(cases.error().message == "no /memory/nowhere");  // as the file layer says it
}

TEST_CASE("A check names a broken step list and score sheet that lie with the case", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  CaseRecord record = TwoRecordings();
  record.step_list = "own";
  REQUIRE(CaseSession::Create(path, record).ok());
  const auto wrong = [&] { return CheckCase(path, false, {}, {}).wrong; };
  const std::size_t before = wrong().size();
  FileSystem& files = RealFileSystem();
  REQUIRE(files.MakeFolder(path + "/score_sheets").ok());
  REQUIRE(ReplaceFile(files, path + "/own.json", R"({"id":"own","steps":[{"key":"a","name":"A"}]})").ok());
  CHECK(wrong().size() == before);
  REQUIRE(ReplaceFile(files, path + "/own.json", R"({"id":"own","steps":[)").ok());
  REQUIRE(ReplaceFile(files, path + "/score_sheets/mine.json", R"({"id":"mine"})").ok());
  const std::vector<std::string> said = wrong();
  for (const char* file : {"/own.json'", "/score_sheets/mine.json'"})
    CHECK(std::count_if(said.begin(), said.end(), [&](const std::string& sentence) {
            return sentence.find(path + file) != std::string::npos;
          }) == 1);
  CHECK(said.size() == before + 2);
}

}  // namespace afterscope
