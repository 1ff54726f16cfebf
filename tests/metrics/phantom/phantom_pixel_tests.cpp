// SPDX-License-Identifier: Apache-2.0
// What the pictures show, found in their pixels by plain means, against what the truth says.
#include "metrics/phantom/phantom.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <numbers>
#include <optional>
#include <vector>

using namespace afterscope;
using namespace afterscope::phantom;

namespace {

Scene PlainScene(std::uint64_t seed) {
  Scene scene = RandomScene(seed, Difficulty::kEasy);
  scene.width = 960;
  scene.height = 720;
  scene.px_per_mm = 36;
  scene.disturbance = {0, 0, 0, 0, 0, 0, 0, 0, {}};
  scene.iris = IrisColour::kBlueGrey;  // far from the colour of lens and reflex
  return scene;
}

double Level(const cv::Mat& gray, PointSq p) {
  cv::Mat one;
  cv::getRectSubPix(gray, {1, 1}, {static_cast<float>(p.x), static_cast<float>(p.y)}, one, CV_32F);
  return one.at<float>(0, 0);
}

// Where, in mm from the curve, the grey level along a ray crosses half way between what it is `reach_mm`
// inside and outside of it; empty where the two hardly differ or it crosses more than once.
std::optional<double> EdgeAlong(const cv::Mat& gray, const Placement& eye, double magnification,
                                PointMm centre, double angle, double radius, double reach_mm) {
  const auto at = [&](double r) {
    return Level(gray,
                 eye.Of({centre.x + r * std::cos(angle), centre.y + r * std::sin(angle)}, magnification));
  };
  const auto mean = [&](double from, double to) {
    double sum = 0;
    for (int i = 0; i <= 8; ++i) sum += at(from + (to - from) * i / 8);
    return sum / 9;
  };
  const double inside = mean(radius - 1.5 * reach_mm, radius - reach_mm);
  const double outside = mean(radius + reach_mm, radius + 1.5 * reach_mm);
  if (std::abs(outside - inside) < 12) return std::nullopt;
  const double half = (inside + outside) / 2;
  std::vector<double> crossings;
  const double step = 0.01;
  for (double d = -reach_mm; d < reach_mm; d += step) {
    const double a = at(radius + d) - half;
    const double b = at(radius + d + step) - half;
    if ((a < 0) != (b < 0)) crossings.push_back(d + step * a / (a - b));
  }
  if (crossings.size() != 1) return std::nullopt;
  return crossings.front();
}

double Median(std::vector<double> values) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2),
                   values.end());
  return values[values.size() / 2];
}

cv::Mat Gray(const cv::Mat& bgr) {
  cv::Mat gray;
  cv::cvtColor(bgr, gray, cv::COLOR_BGR2GRAY);
  return gray;
}

// How much more red than blue: tells lens and reflex from the iris where their brightness does not.
cv::Mat Redness(const cv::Mat& bgr) {
  cv::Mat channels[3];
  cv::split(bgr, channels);
  cv::Mat redness;
  cv::subtract(channels[2], channels[0], redness);
  return redness;
}

}  // namespace

TEST_CASE("the same scene gives the same pictures to the byte, in any order; another seed others") {
  Scene scene = RandomScene(8, Difficulty::kHard);
  scene.width = 320;
  scene.height = 240;
  scene.px_per_mm = 12;
  const Phantom a(scene);
  const Phantom b(scene);
  Phantom::Brush one;
  Phantom::Brush other;
  const auto same = [](const Picture& x, const Picture& y) {
    return x.ByteSize() == y.ByteSize() && std::memcmp(x.planes[0].data, y.planes[0].data, x.ByteSize()) == 0;
  };
  const Picture first = a.Render(20.04, one);
  static_cast<void>(b.Render(50.0, other));
  CHECK(same(first, b.Render(20.04, other)));
  CHECK_FALSE(same(first, a.Render(20.08, one)));
  scene.seed = 9;
  const Phantom c(scene);
  CHECK_FALSE(same(first, c.Render(20.04, one)));
}

TEST_CASE("limbus and pupil lie in the picture where the truth says") {
  for (const std::uint64_t seed : {1, 2, 3, 4}) {
    const Scene scene = PlainScene(seed);
    const Phantom phantom(scene);
    Phantom::Brush brush;
    const double instant = 0.4;
    const cv::Mat picture = phantom.RenderClean(instant, brush).clone();
    const cv::Mat gray = Gray(picture);
    const cv::Mat redness = Redness(picture);
    const InstantTruth truth = phantom.Truth(instant);
    std::vector<double> limbus_off;
    std::vector<double> pupil_off;
    const PolarShape limbus = scene.eye.Limbus();
    const PolarShape pupil = PupilShape(scene, truth.pupil_mm);
    for (int i = 0; i < 180; ++i) {
      const double angle = i * std::numbers::pi / 90;
      if (const auto d = EdgeAlong(gray, truth.eye, 1, limbus.centre, angle, limbus.RadiusAt(angle), 0.6))
        limbus_off.push_back(*d);
      if (const auto d = EdgeAlong(redness, truth.eye, scene.eye.CapsuleMagnification(), pupil.centre, angle,
                                   pupil.RadiusAt(angle), 0.2))
        pupil_off.push_back(*d);
    }
    INFO("seed " << seed << ", rays " << limbus_off.size() << " and " << pupil_off.size());
    // A pixel is 0.028 mm.
    REQUIRE(limbus_off.size() > 40);
    CHECK(std::abs(Median(limbus_off)) < 0.05);
    REQUIRE(pupil_off.size() > 40);
    CHECK(std::abs(Median(pupil_off)) < 0.04);
  }
}

TEST_CASE("an instrument's tip lies in the picture where the truth says") {
  for (const std::uint64_t seed : {1, 2, 3}) {
    const Scene scene = PlainScene(seed);
    const Phantom phantom(scene);
    Phantom::Brush brush;
    const StepSpan& step = *phantom.script().Step("hydrodissection");
    // Nothing moves between the two but the instrument: eye, microscope and pupil are still, the wave has not
    // begun.
    const double with = step.start_s + 1.15;
    const cv::Mat before = Gray(phantom.RenderClean(step.start_s - 0.05, brush));
    const cv::Mat after = Gray(phantom.RenderClean(with, brush));
    cv::Mat changed;
    cv::absdiff(before, after, changed);
    const InstantTruth truth = phantom.Truth(with);
    REQUIRE(truth.tools.size() == 1);
    const PointSq tip = SqOf(scene, truth.tools[0].tip);
    const PointSq shaft = SqOf(scene, truth.tools[0].shaft);
    const OffsetSq axis = (shaft - tip) / Distance(shaft, tip);
    // The first changed place along the axis, coming from beyond the tip, over the middle third of its width.
    double found = 1e9;
    for (double along = -20; along < 20 && found > 1e8; along += 0.25)
      for (double across = -2; across <= 2; across += 1)
        if (Level(changed, tip + along * axis + across * OffsetSq{-axis.y, axis.x}) > 18) found = along;
    INFO("seed " << seed);
    CHECK(std::abs(found) < 2.0);
  }
}

TEST_CASE("the completed rhexis is a faint line where the truth says") {
  const Scene scene = PlainScene(2);
  const Phantom phantom(scene);
  Phantom::Brush brush;
  const double after = phantom.script().Step("rhexis")->end_s + 0.2;
  const double before = phantom.script().Step("rhexis")->start_s - 0.2;
  cv::Mat changed;
  cv::absdiff(Gray(phantom.RenderClean(before, brush)), Gray(phantom.RenderClean(after, brush)), changed);
  const InstantTruth truth = phantom.Truth(after);
  double on = 0;
  double off = 0;
  for (int i = 0; i < 360; ++i) {
    const double angle = i * std::numbers::pi / 180;
    const auto level = [&](double away) {
      const double r = scene.rhexis.RadiusAt(angle) + away;
      return Level(changed, truth.eye.Of({scene.rhexis.centre.x + r * std::cos(angle),
                                          scene.rhexis.centre.y + r * std::sin(angle)},
                                         scene.eye.CapsuleMagnification()));
    };
    on += level(0);
    off += std::max(level(-0.25), level(0.25));
  }
  CHECK(on > 1.5 * off);
}

TEST_CASE("an interlaced picture holds two instants, row by row") {
  Scene scene = RandomScene(4, Difficulty::kUsual);
  scene.width = 360;
  scene.height = 288;
  scene.px_per_mm = 14;
  scene.disturbance.noise_sd = 0;
  const Phantom progressive(scene);
  scene.interlaced = true;
  const Phantom interlaced(scene);
  Phantom::Brush brush;
  const double instant = progressive.script().Step("rhexis")->start_s + 0.4;
  const Picture top = progressive.Render(instant, brush);
  const Picture bottom = progressive.Render(instant + scene.field_seconds, brush);
  const Picture woven = interlaced.Render(instant, brush);
  CHECK(woven.fields == FieldOrder::kTopFirst);
  for (int y = 0; y < scene.height; ++y) {
    const Picture& from = y % 2 == 0 ? top : bottom;
    REQUIRE(std::memcmp(woven.planes[0].data + y * woven.planes[0].stride,
                        from.planes[0].data + y * from.planes[0].stride,
                        static_cast<std::size_t>(scene.width)) == 0);
  }
}
