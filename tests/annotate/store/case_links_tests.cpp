// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_links.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/index/case_snapshot.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>

namespace afterscope {
namespace {

namespace fs = std::filesystem;

// A case with a trail of one point and a folder outside it with a file of somebody else's.
void MakeCaseAndOutside(const TemporaryFolder& folder) {
  CaseRecord record;
  RecordingRef table;
  table.shape.end = {1000};
  record.recordings = {table};
  REQUIRE(CaseSession::Create(folder / "case", record).ok());
  auto session = CaseSession::Open(folder / "case", {});
  REQUIRE(session.ok());
  Trail trail;
  trail.id = (*session)->NewTrailId();
  trail.points = {{{0, {40}}, {1, 2}}};
  REQUIRE((*session)->Commit({"Trail", {Put<Trail>{trail}}}).ok());
  REQUIRE((*session)->SaveCheckpoint().ok());
  REQUIRE(MakeFolders(RealFileSystem(), folder / "outside").ok());
  REQUIRE(ReplaceFile(RealFileSystem(), folder / "outside/precious", "kept").ok());
}

fs::path ReviewFolder(const TemporaryFolder& folder) {
  return fs::directory_iterator(folder / "case/reviews")->path();
}

void CheckRefusedAndNothingTouched(const TemporaryFolder& folder) {
  const auto opened = CaseSession::Open(folder / "case", {});
  REQUIRE_FALSE(opened.ok());
  CHECK(opened.error().message.find("is a link") != std::string::npos);
  CHECK(RealFileSystem().ReadAll(folder / "outside/precious", 100).value() == "kept");
}

}  // namespace

TEST_CASE("A case whose trails folder is a link is refused, and what it points to stays", "[store]") {
  const TemporaryFolder folder;
  MakeCaseAndOutside(folder);
  const fs::path trails = ReviewFolder(folder) / "trails";
  fs::remove_all(trails);
  fs::create_directory_symlink(folder / "outside", trails);
  CheckRefusedAndNothingTouched(folder);
}

TEST_CASE("A case whose case.json or journal is a link is refused, and what it points to stays", "[store]") {
  const std::string name = GENERATE("case.json", "journal", "lock");
  const TemporaryFolder folder;
  MakeCaseAndOutside(folder);
  fs::remove(folder / ("case/" + name));
  fs::create_symlink(folder / "outside/precious", folder / ("case/" + name));
  CheckRefusedAndNothingTouched(folder);
}

TEST_CASE("Somebody else's file among the trails is not removed", "[store]") {
  const TemporaryFolder folder;
  MakeCaseAndOutside(folder);
  const std::string mine = (ReviewFolder(folder) / "trails/notes.txt").string();
  REQUIRE(ReplaceFile(RealFileSystem(), mine, "mine").ok());
  auto session = CaseSession::Open(folder / "case", {});
  REQUIRE(session.ok());
  Trail trail = (*session)->review().trails.front();
  trail.points.push_back({{0, {80}}, {3, 4}});
  REQUIRE((*session)->Commit({"Trail", {Put<Trail>{trail}}}).ok());
  REQUIRE((*session)->SaveCheckpoint().ok());
  CHECK(RealFileSystem().ReadAll(mine, 100).value() == "mine");
  CHECK(std::distance(fs::directory_iterator(ReviewFolder(folder) / "trails"), fs::directory_iterator()) ==
        2);
}

TEST_CASE("A device or a folder is never replaced by a file", "[store]") {
  const TemporaryFolder folder;
  CHECK(ReplaceFile(RealFileSystem(), "/dev/null", "x").error().code == ErrorCode::kUnwritable);
  CHECK(fs::is_character_file("/dev/null"));
  REQUIRE(MakeFolders(RealFileSystem(), folder / "here").ok());
  CHECK_FALSE(ReplaceFile(RealFileSystem(), folder / "here", "x").ok());
}

TEST_CASE("A link anywhere in a case is refused, for the index too, and what it points to stays", "[store]") {
  const std::string name =
      GENERATE("cache", "clips", "score_sheets", "list.json", "report.pdf", "journal.damaged-1",
               "clips/mine.json", "clips/voice", "cache/findings-r1.json", "own/deep/note");
  const TemporaryFolder folder;
  MakeCaseAndOutside(folder);
  const std::string left = "important.0123456789abcdef.tmp";  // by its name a leftover of the program's
  REQUIRE(ReplaceFile(RealFileSystem(), folder / ("outside/" + left), "kept").ok());
  const fs::path link = folder / ("case/" + name);
  fs::create_directories(link.parent_path());
  fs::create_symlink(folder / (link.has_extension() ? "outside/precious" : "outside"), link);
  CheckRefusedAndNothingTouched(folder);
  CHECK(fs::exists(folder / ("outside/" + left)));
  std::string problem;
  const auto read = ReadCaseSnapshot(folder / "case", problem);
  REQUIRE_FALSE(read.ok());
  CHECK(read.error().message.find("is a link") != std::string::npos);
}

TEST_CASE("A recording that a case names may be a link, another file may not", "[store]") {
  const TemporaryFolder folder;
  CaseRecord record;
  RecordingRef recording;
  recording.path = "./films/op.mp4";
  recording.shape.end = {1000};
  record.recordings = {recording};
  REQUIRE(CaseSession::Create(folder / "case", record).ok());
  fs::create_directories(folder / "case/films");
  fs::create_symlink(folder / "elsewhere.mp4", folder / "case/films/op.mp4");
  CHECK(CaseSession::Open(folder / "case", {}).ok());
  std::string problem;
  CHECK(ReadCaseSnapshot(folder / "case", problem).ok());
  fs::create_symlink(folder / "elsewhere.mp4", folder / "case/films/other.mp4");
  CHECK_FALSE(CaseSession::Open(folder / "case", {}).ok());
  CHECK_FALSE(ReadCaseSnapshot(folder / "case", problem).ok());
}

TEST_CASE("A recording's name does not make a link at a place of the program's own one", "[store]") {
  const TemporaryFolder folder;
  CaseRecord record;
  RecordingRef recording;
  recording.path = "clips/mine.json";
  recording.shape.end = {1000};
  record.recordings = {recording};
  REQUIRE(CaseSession::Create(folder / "case", record).ok());
  fs::create_directories(folder / "case/clips");
  fs::create_symlink(folder / "elsewhere", folder / "case/clips/mine.json");
  CHECK_FALSE(CaseSession::Open(folder / "case", {}).ok());
}

}  // namespace afterscope
