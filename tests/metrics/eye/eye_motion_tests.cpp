// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/eye_motion.hpp"
#include "metrics/phantom/phantom.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <cmath>

namespace afterscope {
namespace {

// Six millimetres to the right of and below the axis: the farthest that a tip works.
const PointMm kProbes[] = {{6, 0}, {0, 6}, {-4, -4}};

PointPx Seen(const phantom::Placement& place, PointMm p) {
  const PointSq at = place.Of(p);
  return {at.x, at.y};
}

}  // namespace

TEST_CASE("The eye's motion against a reference picture stays exact through an operation") {
  phantom::Scene scene = phantom::RandomScene(GENERATE(41u, 42u), phantom::Difficulty::kUsual);
  scene.disturbance.zoom_change = 0.4;
  const phantom::Phantom recording(scene);
  phantom::Phantom::Brush brush;
  const cv::Mat first = recording.RenderClean(0.5, brush);
  const auto eye = FindEye(first, std::nullopt);
  REQUIRE(eye.ok());
  EyeMotion motion(first, *eye);
  const phantom::Placement reference = recording.Truth(0.5).eye;
  int trusted = 0, all = 0;
  std::vector<double> errors_mm;
  std::vector<TimedZoom> zooms;
  for (double t = 0.6; t < scene.seconds - 1; t += 0.4, ++all) {
    const EyePose pose = motion.Next(recording.RenderClean(t, brush));
    if (pose.trust < kLeastTrust) continue;
    ++trusted;
    zooms.push_back({t, pose.zoom});
    const phantom::Placement truth = recording.Truth(t).eye;
    for (const PointMm p : kProbes) {
      const PointPx said = PictureFromReference(pose, motion.reference_origin(), Seen(reference, p));
      errors_mm.push_back(Distance(said, Seen(truth, p)) / truth.px_per_mm);
    }
  }
  std::sort(errors_mm.begin(), errors_mm.end());
  INFO("trusted " << trusted << " of " << all << ", error mm: median " << errors_mm[errors_mm.size() / 2]
                  << ", 95 % " << errors_mm[errors_mm.size() * 95 / 100] << ", last zoom "
                  << zooms.back().zoom);
  // Pictures out of focus, up to a fifth of these, may be refused.
  CHECK(trusted > 0.75 * all);
  CHECK(errors_mm[errors_mm.size() / 2] < 0.03);
  CHECK(errors_mm[errors_mm.size() * 95 / 100] < 0.1);
  const auto changes = FindZoomChanges(zooms);
  REQUIRE(changes.size() == 1);
  const double true_change = recording.Truth(scene.seconds - 1).eye.px_per_mm / reference.px_per_mm;
  CHECK(changes[0].after / changes[0].before == Approx(true_change).epsilon(0.01));
}

TEST_CASE("A picture of another eye, or of nothing, is not trusted") {
  const phantom::Phantom one(phantom::RandomScene(51, phantom::Difficulty::kEasy));
  phantom::Phantom::Brush brush;
  const cv::Mat first = one.RenderClean(0.5, brush);
  const auto eye = FindEye(first, std::nullopt);
  REQUIRE(eye.ok());
  EyeMotion motion(first, *eye);
  CHECK(motion.Next(cv::Mat(first.size(), CV_8UC3, cv::Scalar::all(20))).trust < kLeastTrust);
  CHECK(motion.Next(cv::Mat(10, 10, CV_8UC3, cv::Scalar::all(20))).trust < kLeastTrust);
  CHECK(motion.Next({}).trust < kLeastTrust);
  CHECK(motion.Next(first).trust > kLeastTrust);
  CHECK(EyeMotion({}, *eye).Next(first).trust < kLeastTrust);
}

TEST_CASE("Zoom changes are told from a wavering one") {
  std::vector<TimedZoom> zooms;
  for (int i = 0; i < 300; ++i) {
    const double t = i / 10.0, ramp = std::clamp((t - 12) / 1.5, 0.0, 1.0);
    zooms.push_back({t, 1 + 0.4 * ramp + 0.004 * std::sin(3 * t)});
  }
  zooms[50].zoom = 1.2;  // one picture wrong
  const auto changes = FindZoomChanges(zooms);
  REQUIRE(changes.size() == 1);
  CHECK(changes[0].before == Approx(1).margin(0.005));
  CHECK(changes[0].after == Approx(1.4).margin(0.006));
  CHECK(changes[0].start_s == Approx(12).margin(0.3));
  CHECK(changes[0].end_s == Approx(13.5).margin(0.3));
  CHECK(FindZoomChanges({}).empty());
  CHECK(FindZoomChanges({{0, 1}, {0.1, 2}}).empty());
}

TEST_CASE("Between two poses the eye goes evenly, turning the short way; beyond them it stays", "[follow]") {
  EyePose a, b;
  a.origin = {100, 80}, a.zoom = 1, a.turn = Angle::Degrees(175);
  b.origin = {120, 70}, b.zoom = 1.4, b.turn = Angle::Degrees(-175);
  const std::vector<TimedPose> poses{{2, a}, {4, b}};
  const EyePose middle = PoseAt(poses, 3);
  CHECK(Distance(middle.origin, {110, 75}) == Approx(0).margin(1e-9));
  CHECK(middle.zoom == Approx(1.2));
  CHECK(std::remainder(middle.turn.degrees() - 180, 360) == Approx(0).margin(1e-9));
  CHECK(PoseAt(poses, 4).origin == b.origin);
  CHECK(PoseAt(poses, 1).origin == a.origin);
  CHECK(PoseAt(poses, 9).zoom == b.zoom);
}

}  // namespace afterscope
