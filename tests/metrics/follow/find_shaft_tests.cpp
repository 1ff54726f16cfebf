// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/find_shaft.hpp"
#include "tests/metrics/eye/real_frames_support.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

namespace afterscope {
namespace {

// Share of the points 0.5 to 3.5 mm behind the tip that lie on the instrument; the mask is closed first,
// because the axis of open forceps runs between the blades.
double OnInstrument(const testing::RealFrame& frame, PointPx tip, Angle shaft, double px_per_mm) {
  cv::Mat closed;
  const int gap = static_cast<int>(1.2 * px_per_mm);
  cv::morphologyEx(frame.mask, closed, cv::MORPH_CLOSE,
                   cv::getStructuringElement(cv::MORPH_ELLIPSE, {gap, gap}));
  int on = 0, all = 0;
  for (double mm = 0.5; mm < 3.5; mm += 0.05, ++all) {
    const cv::Point at(cvRound(tip.x + mm * px_per_mm * std::cos(shaft.radians())),
                       cvRound(tip.y + mm * px_per_mm * std::sin(shaft.radians())));
    if (cv::Rect({0, 0}, closed.size()).contains(at)) on += closed.at<std::uint8_t>(at) > 0;
  }
  return static_cast<double>(on) / all;
}

}  // namespace

TEST_CASE("The direction of a drawn shaft is found from its tip") {
  const double degrees = GENERATE(10.0, 75.0, 160.0, 300.0);
  cv::Mat picture(400, 400, CV_8UC1, cv::Scalar(150));
  const double c = std::cos(degrees * CV_PI / 180), s = std::sin(degrees * CV_PI / 180);
  cv::line(picture, {200, 200}, {cvRound(200 + 400 * c), cvRound(200 + 400 * s)}, cv::Scalar(60), 9,
           cv::LINE_AA);
  const FoundShaft found = FindShaft(picture, {200, 200}, 20);
  CHECK(std::abs(std::remainder(found.shaft.degrees() - degrees, 360.0)) < 4);
  CHECK(found.trust > kLeastShaftTrust);
}

TEST_CASE("No shaft: a flat picture, or a tip outside, is not trusted") {
  const cv::Mat flat(300, 300, CV_8UC1, cv::Scalar(90));
  CHECK(FindShaft(flat, {150, 150}, 20).trust == 0);
  CHECK(FindShaft(flat, {-5, 150}, 20).trust == 0);
  CHECK(FindShaft({}, {5, 5}, 20).trust == 0);
}

TEST_CASE("Real frames: the shaft lies on the instrument's mask for most tips", "[real]") {
  int good = 0, all = 0;
  for (const testing::RealFrame& frame : testing::RealFrames()) {
    cv::Mat gray;
    cv::cvtColor(frame.picture, gray, cv::COLOR_BGR2GRAY);
    const double px_per_mm = 2 * frame.limbus.half_long / 11.71;  // mean corneal diameter: design, "Scale"
    for (const PointPx tip : frame.tips) {
      const FoundShaft found = FindShaft(gray, tip, px_per_mm);
      const double on = OnInstrument(frame, tip, found.shaft, px_per_mm);
      UNSCOPED_INFO(frame.file << ": " << on << " on the instrument, trust " << found.trust);
      good += on > 0.8, ++all;
    }
  }
  CHECK(10 * good >= 8 * all);
}

}  // namespace afterscope
