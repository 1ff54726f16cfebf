// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/edit.hpp"
#include "annotate/case/edit_checks.hpp"
#include "tests/annotate/case/case_support.hpp"

#include <catch2/catch.hpp>

#include <limits>
#include <random>

namespace afterscope {
namespace {

StepVisit Visit(const char* id, std::int64_t start, std::optional<std::int64_t> end, int lane = 0) {
  StepVisit visit{{id}, "rhexis", lane, At(start), {}, "", false};
  if (end) visit.end = At(*end);
  return visit;
}

// The sentence with which a group of one edit is refused; the state must be as before.
std::string Refusal(const Edit& edit, CaseRecord record, Review review) {
  const CaseRecord record_before = record;
  const Review review_before = review;
  const auto result =
      ApplyEdits({"Try", {Put<Moment>{{{"x"}, At(5), {}, "", "", {}}}, edit}}, record, review);
  CHECK(record == record_before);
  CHECK(review == review_before);
  return result.ok() ? "" : result.error().message;
}

}  // namespace

TEST_CASE("Edits that would break the record are refused whole and in words", "[case]") {
  CaseRecord record = TwoRecordings();
  Review review;
  REQUIRE(ApplyEdits({"", {Put<StepVisit>{Visit("v1", 1000, 2000)}}}, record, review).ok());
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double far = 64001;
  const Edit refused[] = {
      Put<StepVisit>{Visit("v2", 1999, 3000)},          // overlaps
      Put<StepVisit>{Visit("v2", 500, 1001)},           // overlaps
      Put<StepVisit>{Visit("v2", 1000, std::nullopt)},  // same start
      Put<StepVisit>{Visit("v2", 3000, 2500)},          // ends before it starts
      Put<StepVisit>{Visit("v2", 3000, 3000)},          // no length
      Put<StepVisit>{Visit("v2", 3000, 60001)},         // beyond the recording
      Put<StepVisit>{Visit("v2", -1, 100)},             // before it
      Put<StepVisit>{Visit("v2", 3000, 4000, 2)},       // no such lane
      Put<StepVisit>{Visit("V 2", 3000, 4000)},         // no id
      Remove<VisitId>{{"v9"}},
      Remove<MomentId>{{"v1"}},
      Put<Mark>{{{"m1"}, At(60000), MarkKind::kGrasp, {{1, 1}}, "", {}}},  // the end is no frame
      Put<Mark>{{{"m1"}, At(0, 2), MarkKind::kGrasp, {{1, 1}}, "", {}}},   // no such recording
      Put<Mark>{{{"m1"}, At(10), MarkKind::kRuler, {{1, 1}}, "", {}}},     // a ruler has two ends
      Put<Mark>{{{"m1"}, At(10), MarkKind::kGrasp, {{nan, 1}}, "", {}}},
      Put<Mark>{{{"m1"}, At(10), MarkKind::kGrasp, {{far, 1}}, "", {}}},
      Put<Mark>{{{"m1"}, At(10), MarkKind::kLabel, {{1, 1}}, "\xff", {}}},                // no UTF-8
      Put<ScaleDef>{{{"s1"}, ScaleSource::kRuler, {"m9"}, Plane::kCornea, 6.0, {}, {}}},  // no such mark
      SetTrailPoints{{"t1"}, {}, {}},
      SetCaseField{"colour", "red"},
      SetCaseField{"date", "2026-02-30"},
      SetCaseField{"seat_clock_hour", "13"},
      SetCaseField{"optic_diameter_mm", "6,0"},
      SetReviewField{"kind", "strict"},
  };
  for (const Edit& edit : refused) {
    const std::string words = Refusal(edit, record, review);
    INFO(words);
    CHECK(words.ends_with("."));
  }
}

TEST_CASE("What the rules allow at their edges is accepted", "[case]") {
  CaseRecord record = TwoRecordings();
  Review review;
  const Edit accepted[] = {
      Put<StepVisit>{Visit("v1", 1000, 2000)},
      Put<StepVisit>{Visit("v2", 2000, std::nullopt)},  // shares a boundary; open
      Put<StepVisit>{Visit("v3", 2001, 60000)},         // ends the open one; ends with the recording
      Put<StepVisit>{Visit("v4", 1500, 2500, 1)},       // the other hand
      Put<Mark>{{{"m1"}, At(59999), MarkKind::kGrasp, {{64000, 48000}}, "", {}}},
  };
  for (const Edit& edit : accepted) CHECK(ApplyEdits({"", {edit}}, record, review).ok());
  REQUIRE(review.visits.size() == 4);
  CHECK(review.visits[3].id.value == "v4");
}

TEST_CASE("A recording whose frame table is not verified may be a little longer than it said", "[case]") {
  CaseRecord record = TwoRecordings();
  record.recordings[1].shape.verified = false;
  Review review;
  StepVisit visit = Visit("v1", 0, 0);
  visit.start = At(100, 1);
  visit.end = At(35000, 1);
  CHECK(ApplyEdits({"", {Put<StepVisit>{visit}}}, record, review).ok());
  visit.end = At(35001, 1);
  CHECK_FALSE(ApplyEdits({"", {Put<StepVisit>{visit}}}, record, review).ok());
}

TEST_CASE("Random edits: taking all back gives the start, doing all again gives the end", "[case]") {
  int accepted = 0;
  int refused = 0;
  for (unsigned seed = 1; seed <= 200; ++seed) {
    std::mt19937 random(seed);
    CaseRecord record = TwoRecordings();
    Review review;
    std::vector<std::pair<CaseRecord, Review>> states{{record, review}};
    std::vector<EditGroup> inverses;
    for (int i = 0; i < 60; ++i) {
      auto inverse = ApplyEdits(RandomGroup(random), record, review);
      if (!inverse.ok()) {
        ++refused;
        REQUIRE(record == states.back().first);
        REQUIRE(review == states.back().second);
        continue;
      }
      ++accepted;
      inverses.push_back(*inverse);
      states.emplace_back(record, review);
    }
    std::vector<EditGroup> again(inverses.size());
    for (std::size_t i = inverses.size(); i-- > 0;) {
      auto forward = ReapplyEdits(inverses[i], record, review);
      REQUIRE(forward.ok());
      again[i] = *forward;
      REQUIRE(record == states[i].first);
      REQUIRE(review == states[i].second);
    }
    for (std::size_t i = 0; i < again.size(); ++i) {
      REQUIRE(ReapplyEdits(again[i], record, review).ok());
      REQUIRE(record == states[i + 1].first);
      REQUIRE(review == states[i + 1].second);
    }
  }
  WARN("random groups: " << accepted << " accepted, " << refused << " refused");
  CHECK(accepted > 1000);
  CHECK(refused > 1000);
}

TEST_CASE("A point farther away than any picture is refused, whatever the recording", "[case]") {
  const auto mark = [](double x) { return Put<Mark>{{{"m1"}, At(10), MarkKind::kGrasp, {{x, 1}}, "", {}}}; };
  CHECK(CheckEdit(mark(1e7)).ok());
  CHECK_FALSE(CheckEdit(mark(-1.1e7)).ok());
  CHECK_FALSE(CheckEdit(mark(1e200)).ok());
}

TEST_CASE("A recording stays while something that began before ends in it", "[case]") {
  Review caption;
  caption.captions.push_back({{"c1"}, {0, {0}}, FrameRef{1, {10}}, "words"});
  Review draft;
  draft.drafts.emplace_back();
  draft.drafts[0].end = FrameRef{1, {10}};
  for (const Review& review : {caption, draft}) {
    CHECK_FALSE(CheckRecordingsNeeded(review, 1).ok());
    CHECK(CheckRecordingsNeeded(review, 2).ok());
  }
}

}  // namespace afterscope
