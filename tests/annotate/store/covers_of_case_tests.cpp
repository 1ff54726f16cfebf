// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/cover.hpp"
#include "annotate/jobs/clip/clip_source.hpp"
#include "annotate/store/case_session.hpp"
#include "annotate/store/covers_of_case.hpp"
#include "tests/annotate/case/case_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <vector>

namespace afterscope {
namespace {

// Covers a place of its own, and so begins the review.
void CoverIn(const std::string& path, const char* review, double x) {
  const auto session = CaseSession::Open(path, {ReviewId{review}, review, false});
  REQUIRE(session.ok());
  Mark cover;
  cover.id = (*session)->NewMarkId();
  cover.at = At(0);
  cover.kind = MarkKind::kCover;
  cover.points = {{x, 0}, {x + 5, 5}};
  REQUIRE((*session)->Commit({"Cover", {Put<Mark>{cover}}}).ok());
}

// Left edges of what is covered in the first recording.
std::vector<double> LeftEdges(const std::string& path, const char* review) {
  ClipPlan plan;
  ClipPart part;
  part.review = review;
  part.end = At(100);
  plan.parts = {part};
  const auto source = ClipSource::Open(path, plan, RealFileSystem());
  INFO((source.ok() ? "" : source.error().message));
  REQUIRE(source.ok());
  std::vector<double> edges;
  for (const CoverArea& area : CoversOf(source->CaseOf(0).review, 0)) edges.push_back(area.corner.x);
  return edges;
}

}  // namespace

TEST_CASE("What one review covers is covered in clips of all of them", "[store][clip]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  CoverIn(path, "r1", 10);
  CoverIn(path, "r2", 20);
  CHECK(LeftEdges(path, "r1") == std::vector<double>{10, 20});
  CHECK(LeftEdges(path, "r2") == std::vector<double>{20, 10});
  CHECK(LeftEdges(path, "r7") == std::vector<double>{10, 20});  // not begun yet
}

TEST_CASE("Of several versions of a review the newest says what is covered", "[store][clip]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  CoverIn(path, "r1", 10);
  {
    const auto session = CaseSession::Open(path, {ReviewId{"r1"}, "r1", false});
    REQUIRE((*session)->Sign("r1").ok());
    REQUIRE((*session)->BeginNextVersion().ok());
  }
  {
    const auto session = CaseSession::Open(path, {ReviewId{"r1-v2"}, "r1", false});
    REQUIRE(session.ok());
    REQUIRE((*session)->Commit({"Uncover", {Remove<MarkId>{(*session)->review().marks.at(0).id}}}).ok());
  }
  CoverIn(path, "r2", 20);
  CHECK(LeftEdges(path, "r2") == std::vector<double>{20});
  CHECK(LeftEdges(path, "r1-v2") == std::vector<double>{20});
  CHECK(LeftEdges(path, "r1") == std::vector<double>{10, 20});
}

TEST_CASE("Where a review can't be read, no clip is made: it may cover something", "[store][clip]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, TwoRecordings()).ok());
  CoverIn(path, "r1", 10);
  CoverIn(path, "r2", 20);
  for (const char* name : {"journal", "review.json"})
    REQUIRE(ReplaceFile(RealFileSystem(), path + "/reviews/r1/" + name, "broken").ok());
  const auto session = CaseSession::Open(path, {ReviewId{"r2"}, "", true});
  REQUIRE(session.ok());
  const auto covered = WithAllCovers(path, (*session)->review(), RealFileSystem());
  REQUIRE_FALSE(covered.ok());
  CHECK(covered.error().code == ErrorCode::kUnreadable);
  CHECK(covered.error().message.starts_with("The review 'r1' can't be read, and it may cover"));
}

}  // namespace afterscope
