// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/review_choice.hpp"
#include "tests/app/desktop/fairly/fairly_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

// One recording of a minute, which need not be at hand.
CaseRecord OneMinute() {
  CaseRecord record;
  record.code = "X-9";
  record.operator_code = "T1";
  record.recordings.resize(1);
  record.recordings[0].path = "x.mp4";
  record.recordings[0].shape.end = Pts{60000};
  return record;
}

std::unique_ptr<CaseSession> OpenedBy(const ReviewChooser& choose, const std::string& folder) {
  const auto options = choose(folder);
  REQUIRE(options.ok());
  auto session = CaseSession::Open(folder, *options);
  REQUIRE(session.ok());
  return std::move(*session);
}

Status Remark(CaseSession& session) {
  return session.Commit(
      {"Remark", {Put<Moment>{{session.NewMomentId(), {0, Pts{10}}, MomentKind::kRemark, "", "so", {}}}}});
}

}  // namespace

TEST_CASE("The review that is opened is the one chosen before, else what the code leads to", "[fairly]") {
  const std::vector<ReviewSummary> all{Listed("r1", "M1"), Listed("r2", "T1", false, Blinding::kOpen, true)};
  CHECK(ReviewToOpen(all, {"M1", ReviewId{"r2"}, {}}).review == ReviewId{"r2"});
  CHECK_FALSE(ReviewToOpen(all, {"M1", ReviewId{"gone"}, {}}).review);
  CHECK(ReviewToOpen(all, {"M1", {}, {}}).reviewer_code == "M1");
  CHECK(FreshReview(all) == ReviewId{"r3"});
  CHECK(FreshReview({Listed("r2", "")}) == ReviewId{"r3"});
}

TEST_CASE("Opened blinded, it is the user's own blinded review, or a new one", "[fairly]") {
  const std::vector<ReviewSummary> all{Listed("r1", "M1"), Listed("r2", "M2", false, Blinding::kBlinded),
                                       Listed("r3", "M1", true, Blinding::kBlinded),
                                       Listed("r4", "M1", false, Blinding::kBlinded)};
  const ReviewWish mine{"M1", ReviewId{"r1"}, ReviewKind::kFormative};
  CHECK(ReviewToOpen(all, mine).review == ReviewId{"r4"});  // not signed before signed, never another's
  CHECK(ReviewToOpen({all[0], all[2]}, mine).review == ReviewId{"r3"});
  auto next = Listed("r3-v2", "M1", false, Blinding::kLifted);
  next.version = 2;
  next.version_of = all[2].version_of;
  CHECK(ReviewToOpen({all[0], all[2], next}, mine).review == ReviewId{"r3-v2"});
  const auto fresh = ReviewToOpen({all[0], all[1]}, mine);
  CHECK(fresh.review == ReviewId{"r3"});
  CHECK(fresh.reviewer_code == "M1");
  CHECK(fresh.new_review.blinding == Blinding::kBlinded);
  CHECK(ReviewToOpen(all, {"M1", {}, ReviewKind::kFormal}).new_review.kind == ReviewKind::kFormal);
}

TEST_CASE("A review is there from its beginning, blinded or the operator's own, beside others", "[fairly]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, OneMinute()).ok());
  REQUIRE(Remark(*OpenedBy(ChooseByWish({"M1", {}, {}}), path)).ok());
  const auto blind = OpenedBy(ChooseByWish({"M2", {}, ReviewKind::kFormal}), path)->review();
  CHECK(blind.id == ReviewId{"r2"});
  CHECK(blind.blinding == Blinding::kBlinded);
  CHECK(blind.kind == ReviewKind::kFormal);
  CHECK(
      OpenedBy(BeginReviewAs("T1", {ReviewKind::kFormative, true, Blinding::kOpen}), path)->review().is_self);
  const auto session = OpenedBy(ChooseByWish({"M2", {}, ReviewKind::kFormal}), path);
  CHECK(session->review().id == ReviewId{"r2"});  // again the one begun
  CHECK(session->Summaries().size() == 3);
}

TEST_CASE("A signed review is changed as a new version, and the old one stays", "[fairly]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  REQUIRE(CaseSession::Create(path, OneMinute()).ok());
  Review old;
  {
    const auto session = OpenedBy(ChooseByWish({"M1", {}, {}}), path);
    REQUIRE(Remark(*session).ok());
    CHECK_FALSE(BeginVersionAfter(session->review().id, "")(folder / "nowhere").ok());
    REQUIRE(session->Sign("M1").ok());
    CHECK_FALSE(Remark(*session).ok());
    old = session->review();
  }
  {
    const auto next = OpenedBy(BeginVersionAfter(old.id, ""), path);
    CHECK(next->review().version == 2);
    REQUIRE(Remark(*next).ok());
    CHECK(next->review().moments.size() == 2);
  }
  CHECK(OpenedBy(ChooseReviewOf(SummaryOf(old), ""), path)->review() == old);
}

TEST_CASE("Where a blinded review can't be begun, nothing is opened and no name is said", "[fairly]") {
  const TemporaryFolder folder;
  const auto refused = ChooseByWish({"M1", {}, ReviewKind::kFormal})(folder / "Mrs_Miller");
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.error().message.find("Miller") == std::string::npos);
}

}  // namespace afterscope
