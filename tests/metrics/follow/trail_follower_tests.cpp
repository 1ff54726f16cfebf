// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/doubtful_frames.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace afterscope {
namespace {

constexpr double kClipPxPerMm = 14;

// A dark shaft with a bright line on a cloudy ground, its tip on a wide oval; out of the picture in some
// frames.
struct RodClip {
  std::vector<cv::Mat> pictures;
  std::vector<double> seconds;
  std::vector<PointPx> tips;
};

// wound: that the shaft goes through; none: a hand beside the picture holds it.
RodClip DrawRodClip(int count, int hidden_from, int hidden_to, std::optional<cv::Point2d> wound = {}) {
  cv::theRNG().state = 5;
  cv::Mat ground(300, 360, CV_8UC1);
  cv::randn(ground, 140, 60);
  cv::GaussianBlur(ground, ground, {}, 8);
  cv::normalize(ground, ground, 125, 165, cv::NORM_MINMAX);
  RodClip clip;
  for (int i = 0; i < count; ++i) {
    const double t = i / 30.0;
    const PointPx tip{180 + 60 * std::sin(1.1 * t), 140 + 35 * std::cos(1.7 * t)};
    cv::Mat picture = ground.clone();
    cv::Point2d hand(330, 300);
    if (wound) {
      const cv::Point2d to = *wound - cv::Point2d(tip.x, tip.y);
      hand = cv::Point2d(tip.x, tip.y) + 300 / std::hypot(to.x, to.y) * to;
    }
    const cv::Point2d d = hand - cv::Point2d(tip.x, tip.y);
    const cv::Point2d n = cv::Point2d(-d.y, d.x) / std::hypot(d.x, d.y);
    const auto at = [](cv::Point2d p) { return cv::Point(cvRound(16 * p.x), cvRound(16 * p.y)); };
    const cv::Point2d end(tip.x, tip.y);
    const std::vector<cv::Point> body{at(end + 4 * n), at(end - 4 * n), at(hand - 6 * n), at(hand + 6 * n)};
    cv::fillConvexPoly(picture, body, cv::Scalar(60), cv::LINE_AA, 4);
    cv::line(picture, at(end), at(hand), cv::Scalar(200), 1, cv::LINE_AA, 4);
    if (i >= hidden_from && i < hidden_to) ground.copyTo(picture);
    cv::Mat noise(picture.size(), CV_16SC1);
    cv::randn(noise, 0, 4);
    cv::add(picture, noise, picture, cv::noArray(), CV_8U);
    clip.pictures.push_back(picture);
    clip.seconds.push_back(t);
    clip.tips.push_back(tip);
  }
  return clip;
}

std::vector<FollowedPoint> Follow(TrailFollower& follower, const RodClip& clip) {
  follower.Learn();
  for (const std::size_t i : follower.FramesToLookAt()) follower.Look(i, clip.pictures[i]);
  return follower.Solve();
}

}  // namespace

TEST_CASE("A drawn instrument is followed from one point, forwards and backwards") {
  const RodClip clip = DrawRodClip(90, 0, 0);
  TrailFollower follower(clip.seconds, kClipPxPerMm, {180, 150});
  follower.SetByHand(40, clip.pictures[40], clip.tips[40]);
  const auto trail = Follow(follower, clip);
  int good = 0;
  for (std::size_t i = 0; i < trail.size(); ++i)
    good += trail[i].pose && Distance(trail[i].pose->tip, clip.tips[i]) < 0.15 * kClipPxPerMm;
  CHECK(good >= 86);  // 95 % of 90
  CHECK(trail[40].by_hand);
  CHECK(trail[40].confidence == 1);
}

// Forceps that rest while their blades open by up to 0.3 mm each and close again.
TEST_CASE("While forceps open the tip stays between the ends of their blades") {
  constexpr double kPxPerMm = 20;
  RodClip clip = DrawRodClip(60, 0, 60);  // the ground alone
  const PointPx tip{150, 120}, hand{330, 280};
  const OffsetPx d = hand - tip, n{-d.y / d.Length(), d.x / d.Length()};
  const auto at = [](PointPx p) { return cv::Point(cvRound(16 * p.x), cvRound(16 * p.y)); };
  for (std::size_t i = 0; i < clip.pictures.size(); ++i) {
    const double open = 0.3 * std::max(0.0, std::sin(std::numbers::pi * (static_cast<double>(i) - 10) / 40));
    for (const double side : {-1.0, 1.0}) {
      const OffsetPx off = side * (0.12 + open) * kPxPerMm * n;
      cv::line(clip.pictures[i], at(tip + off), at(hand + 0.3 * off), cv::Scalar(60), 4, cv::LINE_AA, 4);
    }
  }
  TrailFollower follower(clip.seconds, kPxPerMm, {180, 150});
  follower.SetByHand(5, clip.pictures[5], tip);
  follower.SetByHand(55, clip.pictures[55], tip);
  const auto trail = Follow(follower, clip);
  int between = 0;
  for (std::size_t i = 0; i < trail.size(); ++i)
    between += trail[i].pose && Distance(trail[i].pose->tip, tip) < 0.15 * kPxPerMm;
  CHECK(between >= 54);  // nine of ten: blades hardly apart may be taken for each other
}

TEST_CASE("Where another edge runs from the tip, the direction that the hand gives is the shaft's") {
  RodClip clip = DrawRodClip(60, 0, 0);
  for (std::size_t i = 0; i < clip.pictures.size(); ++i) {  // wider and darker than the instrument
    const auto at = [](PointPx p) { return cv::Point(cvRound(16 * p.x), cvRound(16 * p.y)); };
    cv::line(clip.pictures[i], at(clip.tips[i]), at(clip.tips[i] + OffsetPx{-300, 40}), cv::Scalar(20), 12,
             cv::LINE_AA, 4);
  }
  const auto off = [&](std::optional<Angle> given) {
    TrailFollower follower(clip.seconds, kClipPxPerMm, {180, 150});
    follower.SetByHand(30, clip.pictures[30], clip.tips[30], given);
    const auto trail = Follow(follower, clip);
    const PointPx tip = clip.tips[30];
    const double true_way = std::atan2(300 - tip.y, 330 - tip.x);
    return std::abs(std::remainder(trail[30].pose->shaft.radians() - true_way, 2 * std::numbers::pi));
  };
  const PointPx tip = clip.tips[30];
  CHECK(off({}) > 1);  // left alone it takes the other edge
  CHECK(off(Angle::Radians(std::atan2(300 - tip.y, 330 - tip.x) + 0.03)) < 0.1);
}

TEST_CASE("An instrument that leaves makes a gap and is found again") {
  const RodClip clip = DrawRodClip(90, 50, 65);
  TrailFollower follower(clip.seconds, kClipPxPerMm, {180, 150});
  follower.SetByHand(20, clip.pictures[20], clip.tips[20]);
  const auto trail = Follow(follower, clip);
  int believed_hidden = 0, found_again = 0;
  for (std::size_t i = 50; i < 65; ++i)
    believed_hidden += trail[i].pose && trail[i].confidence >= FollowOptions().least_confidence;
  for (std::size_t i = 68; i < 90; ++i)
    found_again += trail[i].pose && Distance(trail[i].pose->tip, clip.tips[i]) < 3;
  CHECK(believed_hidden <= 2);
  CHECK(found_again >= 20);
}

TEST_CASE("A point set later asks only for the frames up to its neighbours again") {
  const RodClip clip = DrawRodClip(60, 0, 0);
  TrailFollower follower(clip.seconds, kClipPxPerMm, {180, 150});
  CHECK(follower.FramesToLookAt().size() == 60);
  follower.SetByHand(10, clip.pictures[10], clip.tips[10]);
  follower.SetByHand(50, clip.pictures[50], clip.tips[50]);
  Follow(follower, clip);
  CHECK(follower.FramesToLookAt().empty());
  follower.SetByHand(30, clip.pictures[30], clip.tips[30]);
  const auto again = follower.FramesToLookAt();
  CHECK(again.front() == 11);
  CHECK(again.back() == 49);
}

TEST_CASE("Following without a point gives no places; a stretch without frames is none") {
  TrailFollower empty({}, kClipPxPerMm, {0, 0});
  CHECK(empty.Solve().empty());
  const RodClip clip = DrawRodClip(3, 0, 0);
  TrailFollower follower(clip.seconds, kClipPxPerMm, {180, 150});
  for (const FollowedPoint& p : Follow(follower, clip)) {
    CHECK_FALSE(p.pose);
    CHECK(p.confidence >= 0);
    CHECK(p.confidence <= 1);
  }
  follower.SetByHand(3, clip.pictures[0], {10, 10});
  follower.SetByHand(0, {}, {10, 10});
  follower.SetByHand(0, clip.pictures[0], {std::nan(""), 10});
  CHECK(follower.set_by_hand() == 0);
}

TEST_CASE("Points at the picture's edge or outside, and absurd scales, do no harm") {
  const RodClip clip = DrawRodClip(4, 0, 0);
  const double px_per_mm = GENERATE(-1.0, 0.5, 14.0, 400.0);
  const PointPx tip = GENERATE(PointPx{0, 0}, PointPx{359, 299}, PointPx{-500, 9000});
  TrailFollower follower(clip.seconds, px_per_mm, {180, 150});
  follower.SetByHand(1, clip.pictures[1], tip);
  CHECK(Follow(follower, clip).size() == 4);
}

TEST_CASE("Points set beside the tip are outvoted by each other") {
  const RodClip clip = DrawRodClip(120, 0, 0);
  TrailFollower follower(clip.seconds, kClipPxPerMm, {180, 150});
  // 2 pixels off, each in a direction of its own: 0.14 mm.
  int k = 0;
  for (const std::size_t i : {5, 25, 45, 65, 85, 105}) {
    const double turn = 2 * 3.14159265 * k++ / 6;
    follower.SetByHand(i, clip.pictures[i], clip.tips[i] + OffsetPx{2 * std::cos(turn), 2 * std::sin(turn)});
  }
  const auto trail = Follow(follower, clip);
  std::vector<double> off;
  for (std::size_t i = 0; i < trail.size(); ++i)
    if (!trail[i].by_hand && trail[i].pose) off.push_back(Distance(trail[i].pose->tip, clip.tips[i]));
  REQUIRE(off.size() > 105);
  std::nth_element(off.begin(), off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2), off.end());
  CHECK(off[off.size() / 2] < 1);
  CHECK(Distance(trail[25].pose->tip, clip.tips[25]) == Approx(2));  // where the hand set it
}

TEST_CASE("A point set anew counts as if it had been set so at once") {
  const RodClip clip = DrawRodClip(60, 0, 0);
  TrailFollower at_once(clip.seconds, kClipPxPerMm, {180, 150}), anew(clip.seconds, kClipPxPerMm, {180, 150});
  for (const std::size_t i : {5, 30, 55}) {
    at_once.SetByHand(i, clip.pictures[i], clip.tips[i]);
    anew.SetByHand(i, clip.pictures[i], clip.tips[i] + OffsetPx{i == 30 ? 25.0 : 0.0, 0});
  }
  Follow(anew, clip);
  anew.SetByHand(30, clip.pictures[30], clip.tips[30]);
  const auto a = Follow(at_once, clip), b = Follow(anew, clip);
  for (const std::size_t i : {20, 29, 31, 45}) {
    REQUIRE(a[i].pose);
    REQUIRE(b[i].pose);
    CHECK(Distance(a[i].pose->tip, b[i].pose->tip) <
          0.5);  // half a pixel: the first agreement starts elsewhere
  }
}

TEST_CASE("Known against the eye behind it, an instrument is followed where the eye is as lively as it is") {
  RodClip clip = DrawRodClip(300, 0, 0, cv::Point2d(180, 229));  // on the limbus
  cv::theRNG().state = 9;
  cv::Mat lively(clip.pictures[0].size(), CV_8UC1);
  cv::randn(lively, 128, 90);
  cv::GaussianBlur(lively, lively, {}, 2.5);
  cv::normalize(lively, lively, 40, 220, cv::NORM_MINMAX);
  for (std::size_t i = 0; i < clip.pictures.size(); ++i) {
    cv::Mat tool = clip.pictures[i]<105 | clip.pictures[i]> 180, picture = lively.clone();
    clip.pictures[i].copyTo(picture, tool);
    clip.pictures[i] = picture;
  }
  TrailFollower follower(clip.seconds, kClipPxPerMm, {180, 150});
  for (const std::size_t i : follower.GroundFrames()) follower.AddGround(i, clip.pictures[i]);
  for (const std::size_t i : {20, 110, 190, 280}) follower.SetByHand(i, clip.pictures[i], clip.tips[i]);
  const auto trail = Follow(follower, clip);
  int good = 0, wrong = 0;
  for (std::size_t i = 0; i < trail.size(); ++i) {
    if (!trail[i].pose) continue;
    const double off_mm = Distance(trail[i].pose->tip, clip.tips[i]) / kClipPxPerMm;
    good += off_mm < 0.2;
    wrong += off_mm > 0.3 && trail[i].confidence >= FollowOptions().least_confidence;
  }
  CHECK(good >= 270);  // 90 % of 300
  CHECK(wrong <= 3);   // 1 %
}

TEST_CASE("Doubtful frames: the least believed first, apart from each other and from hand-set ones") {
  std::vector<FollowedPoint> points(50);
  for (FollowedPoint& p : points) p.confidence = 0.9, p.pose = TipPose{};
  points[5].confidence = 0.1, points[7].confidence = 0.05, points[30].confidence = 0.3,
  points[45].confidence = 0.2;
  points[44].by_hand = true;
  CHECK(DoubtfulFrames(points, 0.5, 5) == std::vector<std::size_t>{7, 30});
  CHECK(DoubtfulFrames(points, 0.5, 1) == std::vector<std::size_t>{7});
  CHECK(DoubtfulFrames({}, 0.5, 5).empty());
  CHECK(BelievedShare(points, 0.5) == Approx(46.0 / 50));
}

}  // namespace afterscope
