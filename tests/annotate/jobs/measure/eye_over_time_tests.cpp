// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/case_clock.hpp"
#include "annotate/jobs/follow/follow_eye.hpp"
#include "annotate/jobs/follow/followed_digest.hpp"
#include "annotate/jobs/measure/eye_over_time.hpp"
#include "metrics/eye/eye_motion.hpp"
#include "tests/support/phantom_cases.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kDiameterSq = 585.5;  // 11.71 mm across, which is the population's mean: 0.02 mm a pixel
constexpr double kMmPerPx = 0.02;

FrameRef TickOf(double seconds, int recording = 0) {
  return {recording, Pts{static_cast<std::int64_t>(std::lround(seconds * 100))}};
}

// Two recordings of 60 s; a round limbus outlined on the first frame.
struct Invented {
  CaseRecord record;
  Review review;
  Followed followed;

  explicit Invented(bool with_limbus = true) {
    record.recordings.resize(2);
    for (RecordingRef& r : record.recordings)
      r.shape = {{1, 100}, Pts{0}, Pts{6000}, 1001, 801, {1, 1}, 0, true};
    if (!with_limbus) return;
    Mark mark{{"m1"}, TickOf(0), MarkKind::kLimbus, {}, "", {}};
    for (int i = 0; i < 24; ++i) {
      const double angle = i * std::numbers::pi / 12;
      mark.points.push_back(
          {500 + kDiameterSq / 2 * std::cos(angle), 400 + kDiameterSq / 2 * std::sin(angle)});
    }
    review.marks = {mark};
  }

  FollowedEye& Eye(int recording) {
    FollowedEye eye;
    eye.recording = recording;
    eye.range = {Pts{0}, Pts{6000}};
    eye.reference_eye.limbus.ellipse = {{500, 400}, kDiameterSq / 2, kDiameterSq / 2, {}};
    followed.eyes.push_back(eye);
    return followed.eyes.back();
  }
  EyeOverTime Curves() {
    for (FollowedEye& eye : followed.eyes) eye.input_digest = EyeDigest(record, eye);
    return EyeOverTimeOf(record, review, {}, followed);
  }
};

// The eye's centre `off` pixels right of the middle of the picture, which is at (500, 400).
void AddPose(FollowedEye& eye, double seconds, double off, double zoom = 1, double trust = 1) {
  EyePose pose;
  pose.origin = {500 + off, 400}, pose.zoom = zoom, pose.trust = trust;
  eye.frames.push_back({TickOf(seconds, eye.recording), pose});
}

void AddPupil(FollowedEye& eye, double seconds, double diameter, double trust = 1) {
  EyeSight sight;
  sight.at = TickOf(seconds, eye.recording);
  sight.eye.limbus.trust = 1;
  sight.eye.pupil.trust = trust;
  sight.eye.pupil.ellipse = {{500, 400}, diameter / 2, diameter / 2, {}};
  eye.sights.push_back(sight);
}

const Finding& FindingOf(const std::vector<Finding>& findings, const char* name) {
  for (const Finding& f : findings)
    if (f.name == name) return f;
  FAIL("no finding " << name);
  return findings.front();
}

}  // namespace

TEST_CASE("Pupil and eye over time are in millimetres of their planes, and what the findings say of them",
          "[eye_over_time]") {
  Invented made;
  FollowedEye& eye = made.Eye(0);
  for (int i = 0; i < 500; ++i) AddPose(eye, 0.04 * i, 30 + (i < 250 ? 0 : 60));
  for (int i = 0; i < 100; ++i) AddPupil(eye, 0.2 * i, 400 - i);
  const EyeOverTime curves = made.Curves();
  REQUIRE(curves.off_centre.runs.size() == 1);
  CHECK(curves.off_centre.unit == "mm");
  // By hand: 30 and 90 px of 0.02 mm each; at most five values a second of twenty seconds.
  CHECK(curves.off_centre.First().value == Approx(30 * kMmPerPx).epsilon(0.002));
  CHECK(curves.off_centre.Last().value == Approx(90 * kMmPerPx).epsilon(0.002));
  CHECK(curves.off_centre.runs[0].size() <= 101);
  CHECK(curves.off_centre.runs[0].size() >= 95);
  REQUIRE(curves.off_centre.limit);
  CHECK(*curves.off_centre.limit == Approx(11.71 / 4).epsilon(0.002));  // half of the limbus' radius
  REQUIRE(curves.pupil.runs.size() == 1);
  CHECK(curves.pupil.unit == "mm");
  // Behind the cornea a pixel is less: by the corneal factor that is a finding of its own.
  const auto findings = MeasureReview(made.record, made.review, {}, {}, made.followed);
  const double factor = FindingOf(findings, "scale.factor_capsule").measured.estimate->value;
  CHECK(factor > 1.1);
  CHECK(curves.pupil.First().value == Approx(400 * kMmPerPx / factor).epsilon(0.002));
  const Finding& least = FindingOf(findings, "pupil.followed_least");
  REQUIRE(least.frames.size() == 1);
  bool on_curve = false;
  for (const TimedValue& v : curves.pupil.runs[0])
    if (std::abs(v.seconds - static_cast<double>(least.frames[0].pts.ticks) / 100) < 1e-9)
      on_curve = v.value == Approx(least.measured.estimate->value).epsilon(0.01);  // less what errors add
  CHECK(on_curve);
  double mean = 0;
  for (const TimedValue& v : curves.off_centre.runs[0])
    mean += v.value / static_cast<double>(curves.off_centre.runs[0].size());
  CHECK(mean == Approx(FindingOf(findings, "eye.off_centre").measured.estimate->value).epsilon(0.01));
  // The scale's own share, 0.42 of 11.71 mm (references.md 1.1) and more, is the curve's.
  CHECK(curves.pupil.scale_error > 1.96 * 0.42 / 11.71);
  CHECK(curves.pupil.scale_error < 0.12);
  CHECK(curves.pupil.own_error > 0);
}

TEST_CASE("Where the eye was not followed the curves break, also where one recording follows another",
          "[eye_over_time]") {
  Invented made;
  made.followed.eyes.reserve(2);
  FollowedEye& first = made.Eye(0);
  for (int i = 0; i <= 1500; ++i) {
    const double at = 0.04 * i;
    const bool lost = at > 10 && at < 12;       // a gap
    const bool blinked = at > 20 && at < 20.3;  // less than half a second is none
    if (at < 60) AddPose(first, at, 30, 1, lost || blinked ? 0.1 : 1);
  }
  for (int i = 0; i < 300; ++i) {
    const double at = 0.2 * i;
    AddPupil(first, at, 400, (at > 30 && at < 33) || (at > 40 && at < 40.7) ? 0.1 : 1);
  }
  FollowedEye& second = made.Eye(1);
  for (int i = 0; i < 250; ++i) AddPose(second, 0.04 * i, 30);
  for (int i = 0; i < 50; ++i) AddPupil(second, 0.2 * i, 400);
  const EyeOverTime curves = made.Curves();
  REQUIRE(curves.off_centre.runs.size() == 3);
  CHECK(curves.off_centre.runs[0].back().seconds <= 10.01);
  CHECK(curves.off_centre.runs[1].front().seconds >= 11.99);
  CHECK(curves.off_centre.runs[2].front().seconds == Approx(60));
  REQUIRE(curves.pupil.runs.size() == 3);
  CHECK(curves.pupil.runs[0].back().seconds <= 30.01);
  CHECK(curves.pupil.runs[1].front().seconds >= 32.99);
}

TEST_CASE("Zoom is taken out of the curves; without a scale they are in pixels of the reference frame",
          "[eye_over_time]") {
  for (const bool with_limbus : {true, false}) {
    Invented made(with_limbus);
    FollowedEye& eye = made.Eye(0);
    const auto zoom = [](double at) { return at < 10 ? 1.0 : 1.4; };
    for (int i = 0; i < 500; ++i) AddPose(eye, 0.04 * i, 30 * zoom(0.04 * i), zoom(0.04 * i));
    for (int i = 0; i < 100; ++i) AddPupil(eye, 0.2 * i, 400 * zoom(0.2 * i));
    const EyeOverTime curves = made.Curves();
    CHECK(curves.pupil.unit == (with_limbus ? "mm" : "px"));
    CHECK(curves.zoom_followed == with_limbus);
    REQUIRE_FALSE(curves.pupil.Empty());
    CHECK(curves.pupil.Last().value == Approx(curves.pupil.First().value).epsilon(0.001));
    CHECK(curves.off_centre.Last().value == Approx(curves.off_centre.First().value).epsilon(0.001));
    if (with_limbus) continue;
    CHECK(curves.pupil.First().value == Approx(400));
    CHECK(curves.off_centre.First().value == Approx(30));
    CHECK(curves.pupil.scale_error == 0);
  }
}

TEST_CASE("Nothing followed, or on another recording: no curves", "[eye_over_time]") {
  Invented made;
  CHECK(made.Curves().pupil.Empty());
  FollowedEye& eye = made.Eye(0);
  for (int i = 0; i < 500; ++i) AddPose(eye, 0.04 * i, 30);
  CHECK_FALSE(made.Curves().off_centre.Empty());
  made.record.recordings[0].fingerprint.sampled_sha256 = "other";
  CHECK(EyeOverTimeOf(made.record, made.review, {}, made.followed).off_centre.Empty());
}

TEST_CASE("Of a phantom that was followed the curves are its truth", "[eye_over_time]") {
  const TemporaryFolder folder;
  const phantom::Phantom phantom(SmallScene(640, 24));
  std::vector<double> seconds;
  for (int i = 0; i < 60; ++i) seconds.push_back(2 + i / 25.0);
  PhantomCase made = MadePhantomCase(phantom, seconds, folder / "case");
  Review review;
  Mark mark{{"m1"}, made.frames.refs[0], MarkKind::kLimbus, {}, "", {}};
  const auto outline = phantom::OutlinePx(phantom.scene(), phantom.Truth(seconds[0]).eye,
                                          phantom.scene().eye.Limbus().Polygon(), 1);
  for (std::size_t i = 0; i < outline.size(); i += outline.size() / 24) mark.points.push_back(outline[i]);
  review.marks = {mark};
  const auto recording = Recording::Open(folder / "case.mp4", {});
  REQUIRE(recording.ok());
  const RecordingShape shape = (*recording)->Shape();
  auto eye =
      FindReferenceEye(**recording, 0, {shape.first, shape.end}, EyeStartFrom(made.record, review, 0), {});
  REQUIRE(eye.ok());
  REQUIRE(FollowEye(**recording, *eye, {}, {}).ok());
  eye->input_digest = EyeDigest(made.record, *eye);
  const EyeOverTime curves = EyeOverTimeOf(made.record, review, {}, {{*eye}, {}});
  REQUIRE_FALSE(curves.pupil.Empty());
  REQUIRE_FALSE(curves.off_centre.Empty());
  const CaseClock clock(made.record.recordings);
  const auto instant_at = [&](double at) {
    std::size_t nearest = 0;
    for (std::size_t i = 0; i < seconds.size(); ++i)
      if (std::abs(clock.Seconds(made.frames.refs[i]) - at) <
          std::abs(clock.Seconds(made.frames.refs[nearest]) - at))
        nearest = i;
    return phantom.Truth(seconds[nearest]);
  };
  // The phantom's own truth; a pupil within 2 % and the scale's own error, a place within 1 % of the limbus.
  for (const TimedValue& v : curves.pupil.runs[0])
    CHECK(v.value == Approx(instant_at(v.seconds).pupil_mm).epsilon(0.02 + curves.pupil.scale_error));
  for (const TimedValue& v : curves.off_centre.runs[0]) {
    const auto truth = instant_at(v.seconds).eye;
    const auto centre = phantom::OutlinePx(phantom.scene(), truth, phantom.scene().eye.Limbus().Polygon(), 1);
    double x = 0, y = 0;
    for (const PointPx p : centre)
      x += p.x / static_cast<double>(centre.size()), y += p.y / static_cast<double>(centre.size());
    const double off =
        std::hypot(x - (phantom.scene().width - 1) / 2.0, y - (phantom.scene().height - 1) / 2.0) /
        truth.px_per_mm;
    CHECK(std::abs(v.value - off) < 0.12 + curves.off_centre.scale_error * off);
  }
}

}  // namespace afterscope
