// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/visits.hpp"
#include "annotate/store/case_check.hpp"
#include "annotate/store/case_session.hpp"
#include "tests/support/places.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <filesystem>

namespace afterscope {

// Each released format leaves a case that has to open for ever, and to be taken back to its start.
TEST_CASE("The case of format 1.0 opens, says what it said, and can be undone", "[store]") {
  const TemporaryFolder folder;
  const std::string path = folder / "case";
  std::filesystem::copy(std::string(places::kTestData) + "/cases/format-1.0", path,
                        std::filesystem::copy_options::recursive);
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

}  // namespace afterscope
