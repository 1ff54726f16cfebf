// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/boundary_difference.hpp"
#include "metrics/agreement/edit_score.hpp"
#include "metrics/agreement/frame_agreement.hpp"
#include "metrics/agreement/step_overlap.hpp"
#include "metrics/agreement/timeline.hpp"
#include "metrics/agreement/visit_f1.hpp"

#include <catch2/catch.hpp>

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {
namespace {

// "A10 B20 -5 C30": label and length in frames; '-' is a stretch without a step.
std::vector<LabelledSpan> Timeline(const std::string& text) {
  std::vector<LabelledSpan> out;
  std::int64_t at = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == ' ') continue;
    const char label = text[i];
    std::size_t used = 0;
    const std::int64_t length = std::stoll(text.substr(i + 1), &used);
    if (label != '-') out.push_back({label - 'A', {at, at + length}});
    at += length;
    i += used;
  }
  return out;
}

const std::vector<LabelledSpan> kFirstTimeline = Timeline("A10 B20 C30 D40 E10");
const std::vector<LabelledSpan> kSecondTimeline = Timeline("A12 B15 C18 B3 C12 D42 E8");

}  // namespace

// The worked example of two reviewers over 110 frames, computed by the definitions of Lea et al. 2017 (those
// of the authors' published scoring) and by hand.
TEST_CASE("Visits in common at four overlaps", "[agreement]") {
  const double f1[] = {0.83333, 0.83333, 0.66667, 0.66667};
  const int matched[] = {5, 5, 4, 4};
  for (std::size_t i = 0; i < 4; ++i) {
    const VisitF1 r = VisitF1At(kFirstTimeline, kSecondTimeline, kUsualOverlaps[i]).value();
    CHECK(r.matched == matched[i]);
    CHECK(r.only_compared == 7 - matched[i]);
    CHECK(r.only_reference == 5 - matched[i]);
    CHECK(r.f1 == Approx(f1[i]).epsilon(1e-5));
    CHECK(VisitF1At(kSecondTimeline, kFirstTimeline, kUsualOverlaps[i])->f1 == Approx(f1[i]).epsilon(1e-5));
  }
}

// The same example: edit distance of the two orders by R 4.2.2's adist(), kappa by frame by
// psych::cohen.kappa (0.8772321429) of the 110 pairs.
TEST_CASE("Order, frames and overlaps of two timelines", "[agreement]") {
  const EditScore edit = EditScoreOf(kFirstTimeline, kSecondTimeline).value();
  CHECK(edit.distance == 2);
  CHECK(edit.score == Approx(0.71428571).epsilon(1e-8));
  const FrameAgreement frames =
      AgreementByFrame(kFirstTimeline, kSecondTimeline, CommonStretch(kFirstTimeline, kSecondTimeline))
          .value();
  CHECK(frames.ticks == 110);
  CHECK(frames.accuracy == Approx(0.9090909).epsilon(1e-7));
  CHECK(frames.expected == Approx(0.2595041).epsilon(1e-6));
  CHECK(frames.kappa == Approx(0.8772321429).epsilon(1e-9));
  const std::vector<StepOverlap> steps = StepOverlaps(kFirstTimeline, kSecondTimeline).value();
  const double iou[] = {.833333, .652174, .818182, .952381, .8};
  const double dice[] = {.909091, .789474, .9, .975610, .888889};
  REQUIRE(steps.size() == 5);
  for (std::size_t i = 0; i < 5; ++i) {
    CHECK(steps[i].iou == Approx(iou[i]).epsilon(1e-6));
    CHECK(steps[i].dice == Approx(dice[i]).epsilon(1e-6));
  }
}

// By hand from the same example, 25 frames a second. C of the first reviewer (30 to 60) overlaps the second's
// C at 27 to 45 by 15/33 and that at 48 to 60 by 12/30: the former is taken, the latter and the short B are
// left.
TEST_CASE("Boundaries differ by so much", "[agreement]") {
  const BoundaryDifference d = BoundaryDifferenceOf(kFirstTimeline, kSecondTimeline, {1, 25}).value();
  REQUIRE(d.matched.size() == 5);
  CHECK(d.matched[0].start_difference_s == 0);
  CHECK(d.matched[0].end_difference_s == Approx(0.08));
  CHECK(d.matched[1].overlap == Approx(0.75));
  CHECK(d.matched[2].start_difference_s == Approx(-0.12));
  CHECK(d.matched[2].end_difference_s == Approx(-0.6));
  CHECK(d.matched[3].end_difference_s == Approx(0.08));
  CHECK(d.only_a.empty());
  CHECK(d.only_b == std::vector<LabelledSpan>{{1, {45, 48}}, {2, {48, 60}}});
  CHECK(d.start_size_s->median == Approx(0.08));  // of 0, 2, 3, 0, 2 frames
  CHECK(d.end_size_s->median == Approx(0.08));    // of 2, 3, 15, 2, 0 frames
  CHECK(d.cautions.size() == 1);
}

TEST_CASE("Stretches without a step are a label of their own", "[agreement]") {
  const auto a = Timeline("A10 -10 B10");
  const auto b = Timeline("A10 B20");
  const FrameAgreement frames = AgreementByFrame(a, b, {0, 40}).value();
  CHECK(frames.same == 30);  // 10 A, 10 B, and 10 after the end
  CHECK(VisitF1At(a, b, 0.5)->matched == 2);
  CHECK(VisitF1At(a, b, 0.51)->matched == 1);
}

TEST_CASE("Touching visits of one step count as one", "[agreement]") {
  const auto split = Timeline("A5 A5 B20 C30 D40 E10");
  CHECK(JoinedRuns(split) == kFirstTimeline);
  CHECK(EditScoreOf(split, kFirstTimeline)->score == 1);
  CHECK(VisitF1At(split, kFirstTimeline, 1)->f1 == 1);
  CHECK(AgreementByFrame(split, kFirstTimeline, {0, 110})->kappa == 1);
}

TEST_CASE("Timelines with nothing, one step, or nonsense", "[agreement]") {
  const std::vector<LabelledSpan> none;
  const auto one = Timeline("A10");
  CHECK(EditScoreOf(none, none).error().message ==
        "The edit score cannot be computed: neither reviewer tagged a step.");
  CHECK(EditScoreOf(none, one)->score == 0);
  CHECK(VisitF1At(none, none, 0.5)->f1 == 0);
  CHECK(VisitF1At(one, none, 0.5)->only_reference == 1);
  CHECK_FALSE(VisitF1At(one, one, 0).ok());
  CHECK(StepOverlaps(none, none)->empty());
  CHECK(StepOverlaps(one, none)->front().iou == 0);
  CHECK(CommonStretch(none, none).empty());
  CHECK_FALSE(AgreementByFrame(none, none, CommonStretch(none, none)).ok());
  CHECK(AgreementByFrame(one, one, {0, 10}).error().message ==
        "The agreement by frame cannot be computed: both reviewers have one and the same step throughout.");
  CHECK(AgreementByFrame(one, none, {0, 10})->kappa == 0);
  CHECK_FALSE(AgreementByFrame(one, one, {0, 9}).ok());
  CHECK(BoundaryDifferenceOf(none, none, {1, 25})->matched.empty());
  CHECK_FALSE(BoundaryDifferenceOf(one, none, {1, 25})->start_s.has_value());
  CHECK_FALSE(BoundaryDifferenceOf(one, one, {0, 1}).ok());

  const std::vector<LabelledSpan> backwards{{0, {10, 5}}};
  const std::vector<LabelledSpan> overlapping{{0, {0, 10}}, {1, {9, 12}}};
  const std::vector<LabelledSpan> nameless{{-1, {0, 10}}};
  const std::vector<LabelledSpan> huge{{0, {INT64_MIN, INT64_MAX}}};
  for (const auto& bad : {backwards, overlapping, nameless, huge}) {
    CHECK_FALSE(VisitF1At(one, bad, 0.5).ok());
    CHECK_FALSE(EditScoreOf(bad, one).ok());
    CHECK_FALSE(StepOverlaps(bad, one).ok());
    CHECK_FALSE(AgreementByFrame(bad, one, {0, 100}).ok());
    CHECK_FALSE(BoundaryDifferenceOf(bad, one, {1, 25}).ok());
  }
}

}  // namespace afterscope
