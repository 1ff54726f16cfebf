// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/finding_csv.hpp"
#include "annotate/jobs/geometry_view.hpp"
#include "annotate/jobs/measure.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

const Finding* Find(const std::vector<Finding>& findings, const std::string& name) {
  for (const Finding& f : findings)
    if (f.name == name) return &f;
  return nullptr;
}

CaseRecord Record() {
  CaseRecord record;
  record.eye = Eye::kRight;
  record.operator_code = "t1";
  record.supervisor_code = "s1";
  record.seat_clock_hour = 12;
  record.recordings.push_back({"r.mp4", {}, {{1, 25}, {0}, {1500}, 1280, 720, {1, 1}, 0, true}});
  return record;
}

Mark Ring(const char* id, MarkKind kind, FrameRef at, double radius, double x, int n) {
  Mark out{MarkId{id}, at, kind, {}, {}, {}};
  for (int i = 0; i < n; ++i)
    out.points.push_back({x + radius * std::cos(2 * std::numbers::pi * i / n),
                          360 + radius * std::sin(2 * std::numbers::pi * i / n)});
  return out;
}

MeasureOptions Quick() {
  MeasureOptions out;
  out.simulations = 200;
  return out;
}

// Each finding has a finite estimate, or a reason.
bool AllSaid(const std::vector<Finding>& findings) {
  return std::all_of(findings.begin(), findings.end(), [](const Finding& f) {
    const auto& e = f.measured.estimate;
    return e ? std::isfinite(e->value + e->low + e->high) : !f.measured.cautions.empty();
  });
}

TEST_CASE("An empty review has every finding, all but what holds for any eye null with a reason", "[jobs]") {
  const std::vector<Finding> findings = MeasureReview({}, {}, {}, Quick());
  for (const char* name :
       {"time.whole", "time.recorded", "scale.mm_per_px", "rhexis.diameter_largest", "rhexis.circularity",
        "rhexis.overlap_least", "rhexis.over_optic.diameter_largest", "rhexis.over_optic.overlap_clock_12",
        "rhexis.over_optic.bare_share", "pupil.diameter", "incision.width", "incision.angle_between",
        "path.length", "path.eye_empty", "path.entries"}) {
    const Finding* f = Find(findings, name);
    INFO(name);
    REQUIRE(f);
    CHECK_FALSE(f->measured.estimate);
    CHECK_FALSE(f->measured.cautions.empty());
    CHECK_FALSE(f->measured.unit.empty());
  }
}

TEST_CASE("A rhexis without a scale stays in pixels", "[jobs]") {
  Review review;
  review.marks.push_back(Ring("m1", MarkKind::kRhexis, {0, {10}}, 130, 640, 16));
  const auto findings = MeasureReview(Record(), review, {}, Quick());
  const Finding* seen = Find(findings, "rhexis.diameter_equivalent.as_seen");
  CHECK(seen->measured.unit == "px");
  CHECK(seen->measured.estimate->value == Approx(260).epsilon(0.01));
  CHECK_FALSE(Find(findings, "rhexis.diameter_equivalent")->measured.estimate);
  CHECK(Find(findings, "rhexis.circularity")->measured.estimate->value > 0.995);
}

// As seen divided by M; the centres 25 pixels apart to the right are at 9 o'clock of an eye seen from its 12
// o'clock.
TEST_CASE("With a limbus, lengths are as seen and true, offsets have a clock hour", "[jobs]") {
  CaseRecord record = Record();
  record.corneal_diameter_mm = 12;
  record.corneal_power_d = 43.0;
  record.chamber_depth_mm = 3.0;
  record.planned_rhexis_mm = 5.0;
  Review review;
  review.marks.push_back(Ring("m1", MarkKind::kLimbus, {0, {10}}, 300, 640, 16));
  review.marks.push_back(Ring("m2", MarkKind::kRhexis, {0, {10}}, 138, 665, 16));
  const auto findings = MeasureReview(record, review, {}, Quick());
  const double seen = Find(findings, "rhexis.diameter_equivalent.as_seen")->measured.estimate->value;
  const double corrected = Find(findings, "rhexis.diameter_equivalent")->measured.estimate->value;
  CHECK(seen == Approx(276 * 0.02).epsilon(0.01));
  CHECK(seen / corrected == Approx(1.1069).margin(2e-4));  // paraxial factor at 43 D, 3 mm
  CHECK(Find(findings, "rhexis.plan_difference")->measured.estimate->value ==
        Approx(corrected - 5).margin(1e-9));
  CHECK(Find(findings, "rhexis.off_limbus")->measured.estimate->value ==
        Approx(25 * 0.02 / 1.1069).epsilon(0.06));
  CHECK(Find(findings, "rhexis.off_limbus_clock")->measured.estimate->value == Approx(9).margin(0.4));
  CHECK_FALSE(Find(findings, "rhexis.off_pupil")->measured.estimate);
}

TEST_CASE("A take-over's time goes to the supervisor, an open visit ends with the next", "[jobs]") {
  Review review;
  review.visits = {{VisitId{"v1"}, "phaco", 0, {0, {0}}, FrameRef{0, {250}}, "", false},
                   {VisitId{"v2"}, "phaco", 0, {0, {250}}, std::nullopt, "", true},
                   {VisitId{"v3"}, "cortex", 0, {0, {500}}, FrameRef{0, {750}}, "", false},
                   {VisitId{"v4"}, "phaco", 1, {0, {0}}, FrameRef{0, {1500}}, "", false}};
  std::map<std::string, double> totals;
  for (const Finding& f : MeasureReview(Record(), review, {}, Quick()))
    if (f.name == "time.operator_total") totals[*f.operator_code] = f.measured.estimate->value;
  CHECK(totals["t1"] == Approx(20));
  CHECK(totals["s1"] == Approx(10));
}

// Two boundaries, each evenly within one frame interval: 95 % of their difference lie within 1 - root 0.05 of
// it (triangular distribution).
TEST_CASE("The limits of a time come from the recording's own frame interval", "[jobs]") {
  CaseRecord record = Record();
  record.recordings[0].shape.time_base = {1, 90000};
  record.recordings[0].shape.end = {5400000};
  Review review;
  review.visits = {{VisitId{"v1"}, "rhexis", 0, {0, {90000}}, FrameRef{0, {900000}}, "", false}};
  const auto half_width = [&](std::int64_t frame_ticks) {
    record.recordings[0].shape.frame = {frame_ticks};
    const auto findings = MeasureReview(record, review, {}, Quick());
    const Estimate e = *Find(findings, "time.step_total")->measured.estimate;
    CHECK(e.value == Approx(9));
    return (e.high - e.low) / 2;
  };
  const double share = 1 - std::sqrt(0.05);
  CHECK(half_width(1500) == Approx(share / 60));
  CHECK(half_width(3003) == Approx(share * 1001 / 30000));
  CHECK(half_width(0) == Approx(share / 25));  // a case made before it was kept
}

TEST_CASE("The same input gives the same findings, another mark another digest", "[jobs]") {
  Review review;
  review.marks.push_back(Ring("m1", MarkKind::kRhexis, {0, {10}}, 130, 640, 16));
  const auto one = MeasureReview(Record(), review, {}, Quick()),
             two = MeasureReview(Record(), review, {}, Quick());
  REQUIRE(one.size() == two.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    CHECK(one[i].measured.estimate == two[i].measured.estimate);
    CHECK(one[i].input_digest == two[i].input_digest);
  }
  review.marks[0].points[0].x += 1;
  const auto other = MeasureReview(Record(), review, {}, Quick());
  CHECK(Find(other, "rhexis.circularity")->input_digest != Find(one, "rhexis.circularity")->input_digest);
}

TEST_CASE("Degenerate: marks that can't be measured give reasons, never a crash", "[jobs]") {
  Review review;
  Mark bow = Ring("m1", MarkKind::kRhexis, {0, {10}}, 100, 640, 6);
  std::swap(bow.points[1], bow.points[4]);
  review.marks = {bow,
                  {MarkId{"m2"}, {0, {10}}, MarkKind::kPupil, {}, {}, {}},
                  {MarkId{"m3"}, {7, {10}}, MarkKind::kIncision, {{1, 1}}, {}, {}}};
  review.scales.push_back({ScaleId{"s1"}, ScaleSource::kRuler, MarkId{"gone"}, Plane::kCornea, 1.0, {}, {}});
  review.trails.push_back({TrailId{"t1"}, "forceps", "main", {}, {}});
  for (const Finding& f : MeasureReview(Record(), review, {}, Quick()))
    if (!f.measured.estimate) CHECK_FALSE(f.measured.cautions.empty());
  CHECK_NOTHROW(ViewFrame(Record(), review, {0, {10}}));
}

TEST_CASE("The findings' table guards against formulas", "[jobs]") {
  Finding f;
  f.name = "time.step_total";
  f.step = "=1+1";
  f.measured = {Estimate{-1.5, -2, -1}, "s", "m", {}};
  const std::string text = CsvFromFindings({f});
  CHECK(text.find(",'=1+1,") != std::string::npos);
  CHECK(text.find(",-1.5,") != std::string::npos);
}

}  // namespace
TEST_CASE("Degenerate: outlines and scales beyond any size give reasons, never a crash", "[jobs]") {
  for (const double radius : {1e-200, 1e100, 1e200}) {
    Review review;
    for (const auto& [id, kind] : {std::pair{"m1", MarkKind::kLimbus},
                                   {"m2", MarkKind::kPupil},
                                   {"m3", MarkKind::kRhexis},
                                   {"m4", MarkKind::kLensEdge}})
      review.marks.push_back(Ring(id, kind, {0, {10}}, radius, 640, 12));
    CHECK(AllSaid(MeasureReview(Record(), review, {}, Quick())));
  }
  // A ruler next to nothing: a length would be more millimetres than a number holds.
  Review review;
  review.marks = {Ring("m1", MarkKind::kRhexis, {0, {10}}, 100, 640, 12),
                  Ring("m3", MarkKind::kPupil, {0, {10}}, 200, 740, 12),
                  {MarkId{"m2"}, {0, {10}}, MarkKind::kRuler, {{0, 0}, {1e-307, 0}}, {}, {}}};
  review.scales.push_back({ScaleId{"s1"}, ScaleSource::kRuler, MarkId{"m2"}, Plane::kCapsule, 1.0, {}, {}});
  CHECK(AllSaid(MeasureReview(Record(), review, {}, Quick())));
}

TEST_CASE("An eye that was followed in a recording that the case does not have is passed over", "[jobs]") {
  Followed followed;
  followed.eyes.emplace_back();
  followed.eyes.back().recording = -1;
  CHECK_FALSE(MeasureReview({}, {}, {}, Quick(), followed).empty());
}

// About 90 degrees is usual (a primer on phacoemulsification for residents, Boston University).
TEST_CASE("Incisions close to each other are told, usual ones are not", "[jobs]") {
  const auto between = [](double side_port_deg) {
    Review review;
    review.marks.push_back(Ring("limbus", MarkKind::kLimbus, {0, {10}}, 280, 640, 24));
    for (const auto& [name, deg] : {std::pair{"main incision", 0.0}, std::pair{"side port", side_port_deg}}) {
      Mark mark{MarkId{name}, {0, {10}}, MarkKind::kIncision, {}, name, {{"name", name}}};
      for (const double off : {-4.0, 4.0}) {
        const double turn = (deg + off) * std::numbers::pi / 180;
        mark.points.push_back({640 + 280 * std::cos(turn), 360 + 280 * std::sin(turn)});
      }
      review.marks.push_back(mark);
    }
    return *Find(MeasureReview(Record(), review, {}, Quick()), "incision.angle_between");
  };
  const Finding close = between(40), usual = between(90);
  REQUIRE(close.measured.estimate);
  CHECK(close.measured.estimate->value == Approx(40).margin(1));
  CHECK(close.measured.cautions.size() == 1);
  CHECK(usual.measured.cautions.empty());
  CHECK(usual.measured.method.find("about 90 degrees") != std::string::npos);
}

TEST_CASE("A path is its operator's alone, and says how much of it was seen", "[jobs]") {
  // Ten seconds to the right at 40 pixels a second; from 4 to 6 s, in a visit of the supervisor's, at ten
  // times that.
  CaseRecord record = Record();
  Review review;
  Trail trail{TrailId{"t1"}, "forceps", "main", {}, {}};
  double x = 100;
  for (std::int64_t frame = 0; frame < 250; ++frame) {
    trail.points.push_back({{0, {frame}}, {x, 360}, TrailSource::kHand});
    x += frame >= 100 && frame < 150 ? 16 : 1.6;
  }
  review.trails = {trail};
  const auto visit = [](const char* id, std::int64_t from, std::int64_t to, bool taken_over) {
    return StepVisit{VisitId{id}, "rhexis", 0, {0, {from}}, FrameRef{0, {to}}, "", taken_over};
  };
  review.visits = {visit("a", 0, 100, false), visit("b", 100, 150, true), visit("c", 150, 250, false)};
  auto findings = MeasureReview(record, review, {}, Quick());
  const Finding* length = Find(findings, "path.length.as_seen");
  CHECK(length->measured.estimate->value == Approx(8 * 40).epsilon(0.05));
  CHECK_FALSE(length->operator_code);
  const auto says = [](const Finding& finding, const char* words) {
    const auto& said = finding.measured.cautions;
    return std::any_of(said.begin(), said.end(),
                       [&](const std::string& s) { return s.find(words) != std::string::npos; });
  };
  CHECK(says(*length, "others had the instruments"));
  CHECK(Find(findings, "path.seen_share")->measured.estimate->value == Approx(1));
  // All of it the supervisor's: it is his.
  for (StepVisit& v : review.visits) v.taken_over = true;
  findings = MeasureReview(record, review, {}, Quick());
  CHECK(Find(findings, "path.length.as_seen")->operator_code == "s1");
  CHECK_FALSE(says(*Find(findings, "path.length.as_seen"), "others had the instruments"));
  // Two of ten seconds unseen.
  review.visits.clear();
  review.trails[0].gaps = {{{{0, {100}}, {0, {150}}}, false}};
  findings = MeasureReview(record, review, {}, Quick());
  CHECK(Find(findings, "path.seen_share")->measured.estimate->value == Approx(0.8).margin(0.02));
  CHECK(says(*Find(findings, "path.length.as_seen"), "seen for 80 %"));
}

TEST_CASE("A trail with a pause of ages within is measured in its parts", "[jobs]") {
  Review review;
  Trail trail{TrailId{"t1"}, "forceps", "main", {}, {}};
  for (int i = 0; i < 80; ++i)
    trail.points.push_back({{0, {(i < 40 ? 0 : std::int64_t{1} << 55) + i}},
                            {100.0 + i, 100.0 + i % 7},
                            TrailSource::kFollowed,
                            1});
  review.trails = {trail};
  const auto findings = MeasureReview(Record(), review, {}, Quick());
  REQUIRE(Find(findings, "path.length.as_seen"));
  CHECK(Find(findings, "path.length.as_seen")->measured.estimate);
}

TEST_CASE("A step's time is by those who did it", "[jobs]") {
  Review review;
  review.visits = {{{"v1"}, "rhexis", 0, {0, {0}}, FrameRef{0, {50}}, "t1", false},
                   {{"v2"}, "chop", 0, {0, {50}}, FrameRef{0, {75}}, "s1", true},
                   {{"v3"}, "rhexis", 0, {0, {75}}, FrameRef{0, {100}}, "s1", true}};
  std::vector<std::string> said;
  for (const Finding& f : MeasureReview(Record(), review, {}, Quick()))
    if (f.name == "time.step_total" && f.operator_code) said.push_back(*f.step + " by " + *f.operator_code);
  CHECK(said == std::vector<std::string>{"rhexis by s1", "rhexis by t1", "chop by s1"});
}

}  // namespace afterscope
