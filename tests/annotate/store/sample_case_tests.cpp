// SPDX-License-Identifier: Apache-2.0
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

}  // namespace afterscope
