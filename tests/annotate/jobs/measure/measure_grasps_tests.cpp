// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace afterscope {
namespace {

const Finding& Find(const std::vector<Finding>& findings, const std::string& name) {
  const auto found =
      std::find_if(findings.begin(), findings.end(), [&](const Finding& f) { return f.name == name; });
  REQUIRE(found != findings.end());
  return *found;
}

// 25 frames a second, one tick a frame, a minute.
CaseRecord GraspRecord() {
  CaseRecord record;
  record.recordings.push_back({"r.mp4", {}, {{1, 25}, {0}, {1500}, 1280, 720, {1, 1}, 0, true}});
  return record;
}

Mark Grasp(int frame) {
  return {MarkId{fmt::format("g{}", frame)}, {0, {frame}}, MarkKind::kGrasp, {{600, 300}}, {}, {}};
}

Mark Ring(const std::string& id, int frame, double radius) {
  Mark out{MarkId{id}, {0, {frame}}, MarkKind::kRhexis, {}, {}, {}};
  for (int i = 0; i < 24; ++i) {
    const double a = 2 * std::numbers::pi * i / 24;
    out.points.push_back({640 + radius * std::cos(a), 360 + radius * std::sin(a)});
  }
  return out;
}

Review WithRhexis(const std::vector<int>& grasps) {
  Review review;
  review.visits = {{VisitId{"v1"}, "rhexis", 0, {0, {100}}, FrameRef{0, {900}}, "", false}};
  for (const int frame : grasps) review.marks.push_back(Grasp(frame));
  return review;
}

std::vector<Finding> FindingsOf(const Review& review) {
  MeasureOptions options;
  options.simulations = 200;
  return MeasureReview(GraspRecord(), review, {}, options);
}

bool Says(const Finding& finding, const std::string& words) {
  return std::any_of(finding.measured.cautions.begin(), finding.measured.cautions.end(),
                     [&](const std::string& caution) { return caution.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("Regrasps: marked grasps within the step less one", "[jobs][grasps]") {
  // Two marks on one frame are one grasp; that before the step does not count.
  Review review = WithRhexis({50, 150, 300, 300, 450});
  const auto findings = FindingsOf(review);
  const Finding& regrasps = Find(findings, "rhexis.regrasps");
  REQUIRE(regrasps.measured.estimate);
  CHECK(regrasps.measured.estimate->value == 2);
  CHECK(regrasps.measured.unit == "count");
  CHECK(regrasps.step == "rhexis");
  CHECK(Says(regrasps, "1 grasp is marked outside of the step"));
  CHECK(Find(findings, "rhexis.grasps").measured.estimate->value == 3);
}

TEST_CASE("Regrasps: without the step all grasps count, without a grasp there are none", "[jobs][grasps]") {
  Review review = WithRhexis({150, 300});
  review.visits.clear();
  const auto findings = FindingsOf(review);
  CHECK(Find(findings, "rhexis.regrasps").measured.estimate->value == 1);
  CHECK(Says(Find(findings, "rhexis.regrasps"), "not tagged"));
  const auto none = FindingsOf(WithRhexis({}));
  CHECK_FALSE(Find(none, "rhexis.regrasps").measured.estimate);
  CHECK(Says(Find(none, "rhexis.regrasps"), "no grasp"));
}

TEST_CASE("Regrasps: where the trail disagrees, that is a doubt", "[jobs][grasps]") {
  Review review = WithRhexis({150, 420});
  Trail trail;
  trail.id = {"t1"};
  trail.hand = "main";
  for (int frame = 120; frame < 880; ++frame)
    if (frame < 400 || (frame >= 440 && frame < 600) || frame >= 640)
      trail.points.push_back({{0, {frame}}, {600 + 0.05 * frame, 300}, TrailSource::kHand, 1});
  trail.gaps = {{{{0, {400}}, {0, {440}}}, true}, {{{0, {600}}, {0, {640}}}, true}};
  review.trails = {trail};
  const auto findings = FindingsOf(review);
  const Finding& regrasps = Find(findings, "rhexis.regrasps");
  CHECK(regrasps.measured.estimate->value == 1);
  CHECK(Says(regrasps, "out of the eye"));      // that on frame 420
  CHECK(Says(regrasps, "2 times in the eye"));  // from 440 and from 640 on
  CHECK(regrasps.measured.estimate->high >= 3);
  CHECK(regrasps.measured.estimate->low == 0);
  CHECK(regrasps.trail == TrailId{"t1"});
}

TEST_CASE("A rhexis outlined on several frames is pooled, and how far it repeats is told", "[jobs][rhexis]") {
  Review review = WithRhexis({});
  // As wide as the picture's ruler says: 100 px are 2 mm.
  review.marks.push_back({MarkId{"ruler"}, {0, {10}}, MarkKind::kRuler, {{100, 100}, {200, 100}}, {}, {}});
  ScaleDef scale;
  scale.id = {"s1"}, scale.source = ScaleSource::kRuler, scale.mark = {"ruler"};
  scale.plane = Plane::kCapsule, scale.known_mm = 2.0, scale.known_sd_mm = 0.01;
  review.scales = {scale};
  review.marks.push_back(Ring("m1", 950, 125));
  auto findings = FindingsOf(review);
  CHECK_FALSE(Find(findings, "rhexis.pooled.diameter_equivalent").measured.estimate);
  CHECK(Says(Find(findings, "rhexis.pooled.diameter_equivalent"), "fewer than two frames"));
  review.marks.push_back(Ring("m2", 951, 127));
  review.marks.push_back(Ring("m3", 952, 129));
  findings = FindingsOf(review);
  const Finding& pooled = Find(findings, "rhexis.pooled.diameter_equivalent");
  REQUIRE(pooled.measured.estimate);
  CHECK(pooled.measured.estimate->value == Approx(254 * 0.02).epsilon(0.004));
  CHECK(pooled.marks.size() == 3);
  // 250, 254, 258 px: s is 4 px or 0.08 mm; 1.96 root 2 s.
  CHECK(Find(findings, "rhexis.pooled.repeatability").measured.estimate->value ==
        Approx(1.96 * std::sqrt(2.0) * 0.08).epsilon(0.05));
  CHECK_FALSE(Find(findings, "rhexis.over_optic.pooled.area").measured.estimate);
}

}  // namespace afterscope
