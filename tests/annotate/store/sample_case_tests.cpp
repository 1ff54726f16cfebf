// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/score_sheet.hpp"
#include "annotate/case/visits.hpp"
#include "annotate/store/case_check.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/support/places.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>

namespace afterscope {
namespace {

std::string CopyOf(const std::string& format, const TemporaryFolder& folder) {
  const std::string path = folder / "case";
  std::filesystem::copy(std::string(places::kTestData) + "/cases/" + format, path,
                        std::filesystem::copy_options::recursive);
  return path;
}

}  // namespace

// Each released format leaves a case that has to open for ever, and to be taken back to its start.
TEST_CASE("The case of format 1.0 opens, says what it said, and can be undone", "[store]") {
  const TemporaryFolder folder;
  const std::string path = CopyOf("format-1.0", folder);
  CHECK(CheckCase(path, true, {}, {}).wrong.empty());
  auto opened = CaseSession::Open(path, {});
  REQUIRE(opened.ok());
  CaseSession& session = **opened;
  CHECK(session.cautions().empty());
  const CaseRecord& record = session.record();
  CHECK(record.code == "SAMPLE");
  CHECK(record.date == "2026-01-05");
  CHECK(record.eye == Eye::kRight);
  CHECK(record.difficulty == std::vector<std::string>{"small_pupil", "loose_zonules"});
  CHECK(record.consent == std::vector<Consent>{{"review", true, false, "2030-01-01"}});
  CHECK(record.extra.at("Experience") == "2");
  CHECK(record.optic_diameter_mm == 6.0);
  CHECK(record.recordings.at(0).shape.time_base == Rational{1, 25});
  CHECK(record.recordings.at(0).shape.frame == TickSpan{0});
  const Review& review = session.review();
  REQUIRE(review.visits.size() == 5);
  CHECK(review.visits[2].taken_over);
  CHECK(OperatorOf(record, review.visits[2]) == "s1");
  CHECK(review.visits[2].start == FrameRef{0, Pts{200}});
  CHECK(review.visits[2].end == FrameRef{0, Pts{250}});
  CHECK(review.visits[4].end == FrameRef{0, Pts{500}});
  CHECK(review.moments.at(0).fields.at("vacuum_mmhg") == "80");
  CHECK(review.marks.at(0).points.at(1) == PointPx{150, 100.25});
  CHECK(review.scales.at(0).known_mm == 11.7);
  CHECK(review.trails.at(0).points.at(1).tip == PointPx{11.5, 10.25});
  CHECK(review.checks.at("rhexis_complete") == CheckState::kSeenDone);
  CHECK(session.RedoLabel().empty());
  while (!session.UndoLabel().empty()) REQUIRE(session.Undo().ok());
  CHECK(session.review().visits.empty());
  CHECK(session.review().marks.empty());
  CHECK(session.record().code == "SAMPLE");
}

TEST_CASE("The case of format 1.1 opens with its signed reviews, their versions and frame intervals",
          "[store]") {
  const TemporaryFolder folder;
  const std::string path = CopyOf("format-1.1", folder);
  CHECK(CheckCase(path, true, {}, {}).wrong.empty());
  OpenCaseOptions first;
  first.review = ReviewId{"r1"};
  auto opened = CaseSession::Open(path, first);
  REQUIRE(opened.ok());
  CHECK((*opened)->cautions().empty());
  const CaseRecord& record = (*opened)->record();
  REQUIRE(record.recordings.size() == 2);
  CHECK(record.recordings[0].shape.frame == TickSpan{1});
  CHECK(record.recordings[1].shape.frame == TickSpan{3003});
  CHECK(record.recordings[1].shape.pixel_aspect == Rational{16, 15});
  REQUIRE(record.signed_reviews.size() == 2);
  CHECK(record.signed_reviews[1].id == ReviewId{"r1"});
  CHECK(record.signed_reviews[1].recognised == Recognition::kPerhaps);
  CHECK(record.signed_reviews[1].answers == std::vector<ReviewAnswer>{{"t1", "2026-03-09", "Agreed."}});
  const Review& review = (*opened)->review();
  CHECK(review.is_signed);
  CHECK(review.signature.by == "m1");
  CHECK(review.blinding == Blinding::kBlinded);
  CHECK(review.visits.at(0).start == FrameRef{0, Pts{50}});
  CHECK(review.marks.at(0).fields.at("stage") == "over optic");
  const auto own = (*opened)->ReadReview(ReviewId{"own"});
  REQUIRE(own.ok());
  CHECK(own->is_self);
  CHECK(own->assessment.own_view == "It ran out once.");
  const auto next = (*opened)->BeginNextVersion();  // begun already: its id
  REQUIRE(next.ok());
  const auto later = (*opened)->ReadReview(*next);
  REQUIRE(later.ok());
  CHECK(later->version == 2);
  CHECK(later->version_of == ReviewId{"r1"});
  CHECK(later->earlier_seal == record.signed_reviews[1].seal);
  CHECK(later->visits.at(0).start == FrameRef{0, Pts{55}});
}

// In 1.1 scores lay among the case's own fields; 1.2 moves them into the review (old_scores.hpp).
TEST_CASE("Scores of a case of format 1.1 are its reviews': moved for good, or where signed only read",
          "[store]") {
  const TemporaryFolder folder;
  const std::string path = CopyOf("format-1.1-scores", folder);
  const auto open = [&](const char* review, bool read_only) {
    auto opened = CaseSession::Open(path, {ReviewId{review}, "", read_only});
    REQUIRE(opened.ok());
    CHECK((*opened)->cautions().empty());
    return std::move(*opened);
  };
  const auto economy = [](const Review& review) {
    const Score* score = FindScore(review.scores, "whole_operation", "economy");
    REQUIRE(score);
    return *score;
  };
  const Score signed_score{{"whole_operation", "economy"}, 1, "Z\u00f6gernd am Anfang", {{"o1"}}};
  {
    const auto read = open("r2", true);  // a case that is only read says the same
    REQUIRE(read->review().scores.size() == 2);
    CHECK(economy(read->review()).value == 2);
    CHECK(economy(*read->ReadReview(ReviewId{"r1"})) == signed_score);
    CHECK(read->record().extra.contains("score/r2/whole_operation/economy"));
  }
  {
    const auto moved = open("r2", false);
    REQUIRE(moved->review().scores.size() == 2);
    CHECK(economy(moved->review()).value == 2);
    CHECK(FindScore(moved->review().scores, "whole_operation", "gentle")->remark == "Lets the eye rest");
    CHECK(moved->review().assessment.earlier_goal == GoalOutcome::kNotSaid);
    CHECK_FALSE(moved->record().extra.contains("score/r2/whole_operation/economy"));
    CHECK_FALSE(moved->record().extra.contains("score/r2/whole_operation/gentle/remark"));
    CHECK(moved->record().extra.contains("score/r1/whole_operation/economy"));
    // What was scored in 1.1 is not undone among the fields, where nothing reads it any more.
    while (!moved->UndoLabel().empty()) REQUIRE(moved->Undo().ok());
    CHECK(moved->review().visits.empty());
    CHECK(moved->review().scores.size() == 2);
    CHECK_FALSE(moved->record().extra.contains("score/r2/whole_operation/economy"));
    while (!moved->RedoLabel().empty()) REQUIRE(moved->Redo().ok());
    REQUIRE(moved->Commit({"Take back", {Remove<ScoreId>{{"whole_operation", "economy"}}}}).ok());
  }
  CHECK(open("r2", false)->review().scores.size() == 1);  // and it stays taken back
  {
    const auto signed_one = open("r1", false);  // sealed: its folder stays as it is
    REQUIRE(signed_one->review().scores.size() == 6);
    CHECK(economy(signed_one->review()) == signed_score);
    CHECK_FALSE(FindScore(signed_one->review().scores, "whole_operation", "machine")->value);
    CHECK(signed_one->review().assessment.earlier_goal == GoalOutcome::kPartlyMet);
    CHECK(signed_one->record().extra.at("case_number") == "41");
    const auto next = signed_one->BeginNextVersion();  // its next version holds them itself
    REQUIRE(next.ok());
    CHECK(economy(*signed_one->ReadReview(*next)) == signed_score);
  }
  CHECK(CheckCase(path, true, {}, {}).wrong.empty());
  const auto next = open("r1-v2", false);
  CHECK(next->review().scores.size() == 6);
  CHECK(next->review().assessment.earlier_goal == GoalOutcome::kPartlyMet);
}

TEST_CASE("The case of format 1.2 opens with scores and goals in its review", "[store]") {
  const TemporaryFolder folder;
  const std::string path = CopyOf("format-1.2", folder);
  CHECK(CheckCase(path, true, {}, {}).wrong.empty());
  auto opened = CaseSession::Open(path, {ReviewId{"r1"}, "", false});
  REQUIRE(opened.ok());
  CHECK((*opened)->cautions().empty());
  const Review& review = (*opened)->review();
  CHECK(review.is_signed);
  REQUIRE(review.scores.size() == 6);
  const Score expected{{"whole_operation", "economy"}, 1, "Z\u00f6gernd am Anfang", {{"o1"}}};
  CHECK(*FindScore(review.scores, "whole_operation", "economy") == expected);
  CHECK_FALSE(FindScore(review.scores, "whole_operation", "machine")->value);
  CHECK(review.assessment.drill == "Ten tears in the model eye");
  CHECK(review.assessment.earlier_goal == GoalOutcome::kPartlyMet);
  CHECK((*opened)->record().extra.size() == 1);  // case_number
}

}  // namespace afterscope
