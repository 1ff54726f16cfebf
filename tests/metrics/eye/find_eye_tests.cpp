// SPDX-License-Identifier: Apache-2.0
#include "metrics/eye/find_eye.hpp"
#include "tests/metrics/eye/real_frames_support.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <optional>
#include <utility>

namespace afterscope {
namespace {

using testing::RealFrame;

// A drawn eye: sclera, iris, pupil, soft limbus. Nothing of the finder is used to draw it.
cv::Mat DrawnEye(const cv::RotatedRect& limbus, const cv::RotatedRect& pupil, cv::Size size) {
  cv::Mat picture(size, CV_8UC3, cv::Scalar(190, 205, 225));
  cv::ellipse(picture, limbus, cv::Scalar(90, 120, 110), cv::FILLED, cv::LINE_AA);
  cv::GaussianBlur(picture, picture, {}, 5);
  cv::ellipse(picture, pupil, cv::Scalar(20, 40, 130), cv::FILLED, cv::LINE_AA);
  cv::GaussianBlur(picture, picture, {}, 1);
  cv::Mat noise(size, CV_16SC3);
  cv::theRNG().state = 7;
  cv::randn(noise, cv::Scalar::all(0), cv::Scalar::all(6));
  cv::add(picture, noise, picture, cv::noArray(), CV_8UC3);
  return picture;
}

// A drawn face, as a child draws it: round, with eyes and a mouth; none of it is an eye as a microscope shows
// it.
cv::Mat DrawnFace(cv::Scalar ground, cv::Scalar skin, int height, bool nose) {
  cv::Mat picture(480, 640, CV_8UC3, ground);
  const cv::Scalar ink(20, 20, 20), white(255, 255, 255);
  cv::ellipse(picture, {320, 240}, {150, height}, 0, 0, 360, skin, cv::FILLED, cv::LINE_AA);
  cv::ellipse(picture, {320, 240}, {150, height}, 0, 0, 360, ink, 3, cv::LINE_AA);
  for (const int x : {265, 375}) {
    cv::circle(picture, {x, 200}, 28, white, cv::FILLED, cv::LINE_AA);
    cv::circle(picture, {x, 200}, 28, ink, 2, cv::LINE_AA);
    cv::circle(picture, {x, 200}, 12, cv::Scalar(60, 40, 20), cv::FILLED, cv::LINE_AA);
  }
  cv::ellipse(picture, {320, 290}, {70, 50}, 0, 20, 160, cv::Scalar(40, 30, 160), 6, cv::LINE_AA);
  if (nose) cv::circle(picture, {320, 245}, 30, cv::Scalar(40, 40, 220), cv::FILLED, cv::LINE_AA);
  return picture;
}

struct Errors {
  double center, diameter;  // percent of the limbus diameter
};
Errors ErrorsOf(const EyeEllipse& found, const EyeEllipse& truth, double limbus_diameter) {
  return {100 * Distance(found.center, truth.center) / limbus_diameter,
          100 * (found.MeanDiameter() - truth.MeanDiameter()) / limbus_diameter};
}
bool Within(const Errors& e, double percent) {
  return e.center <= percent && std::abs(e.diameter) <= percent;
}

bool FoundWithin(const RealFrame& frame, std::optional<PointPx> click, double percent) {
  const auto eye = FindEye(frame.picture, click);
  if (!eye.ok()) return false;
  const double diameter = frame.limbus.MeanDiameter();
  const Errors limbus = ErrorsOf(eye->limbus.ellipse, frame.limbus, diameter);
  const Errors pupil = ErrorsOf(eye->pupil.ellipse, frame.pupil, diameter);
  UNSCOPED_INFO(frame.file << ": limbus centre " << limbus.center << " %, diameter " << limbus.diameter
                           << " %; pupil " << pupil.center << " %, " << pupil.diameter << " %; trust "
                           << eye->limbus.trust);
  return Within(limbus, percent) && Within(pupil, percent);
}

}  // namespace

TEST_CASE("A drawn eye is found with and without a click") {
  const cv::RotatedRect limbus({520, 330}, {420, 370}, 20), pupil({528, 324}, {270, 262}, 0);
  const cv::Mat picture = DrawnEye(limbus, pupil, {1024, 720});
  const bool clicked = GENERATE(true, false);
  const auto eye = FindEye(picture, clicked ? std::optional<PointPx>({560, 350}) : std::nullopt);
  REQUIRE(eye.ok());
  // 1 %: the drawn edges are exact, the picture is worked on at 640 pixels.
  CHECK(Distance(eye->limbus.ellipse.center, {520, 330}) < 4);
  CHECK(eye->limbus.ellipse.half_long == Approx(210).epsilon(0.012));
  CHECK(eye->limbus.ellipse.half_short == Approx(185).epsilon(0.012));
  CHECK(eye->limbus.ellipse.angle.degrees() == Approx(20).margin(6));
  CHECK(Distance(eye->pupil.ellipse.center, {528, 324}) < 3);
  CHECK(eye->pupil.ellipse.MeanDiameter() == Approx(266).epsilon(0.012));
  CHECK(eye->limbus.trust > kLeastTrust);
  CHECK(eye->pupil.trust > kLeastTrust);
}

TEST_CASE("Where there is no eye the finder says so or is not to be trusted") {
  cv::Mat noise(480, 640, CV_8UC3);
  cv::theRNG().state = 3;
  cv::randn(noise, cv::Scalar::all(120), cv::Scalar::all(30));
  for (const cv::Mat& picture : {cv::Mat(480, 640, CV_8UC3, cv::Scalar::all(0)), noise}) {
    const auto eye = FindEye(picture, std::nullopt);
    CHECK((!eye.ok() || eye->limbus.trust < kLeastTrust));
    if (!eye.ok()) CHECK(eye.error().code == ErrorCode::kNotComputable);
  }
}

TEST_CASE("A drawn face is no eye to be trusted") {
  const cv::Scalar ground = GENERATE(cv::Scalar(240, 240, 240), cv::Scalar(200, 160, 120));
  const cv::Scalar skin = GENERATE(cv::Scalar(90, 200, 250), cv::Scalar(150, 180, 230));
  const auto [height, nose] = GENERATE(std::pair{150, false}, std::pair{180, true});
  const auto eye = FindEye(DrawnFace(ground, skin, height, nose), std::nullopt);
  CHECK((!eye.ok() || eye->limbus.trust < kLeastTrust));
}

TEST_CASE("Eye finder: unusable input is a bad call") {
  CHECK(FindEye({}, std::nullopt).error().code == ErrorCode::kBadCall);
  CHECK(FindEye(cv::Mat(8, 8, CV_8UC3, cv::Scalar::all(9)), std::nullopt).error().code ==
        ErrorCode::kBadCall);
  CHECK(FindEye(cv::Mat(480, 640, CV_8UC3, cv::Scalar::all(9)), PointPx{900, 10}).error().code ==
        ErrorCode::kBadCall);
}

// outlines.tsv: limbus good to about 1.7 % of its diameter, pupil 1.4 %.
TEST_CASE("Real frames: limbus and pupil within 3 % of the limbus diameter in 8 of 10", "[real]") {
  const std::vector<RealFrame> frames = testing::RealFrames();
  if (frames.empty()) return;
  // Clicked on either side of the pupil's centre, or not at all.
  const auto click = GENERATE(std::optional<OffsetPx>({30, -20}), std::optional<OffsetPx>({-40, 30}),
                              std::optional<OffsetPx>());
  long found = 0;
  for (const RealFrame& frame : frames)
    found += FoundWithin(frame, click ? std::optional(frame.pupil.center + *click) : std::nullopt, 3);
  CHECK(10 * found >= 8 * static_cast<long>(frames.size()));
}

}  // namespace afterscope
