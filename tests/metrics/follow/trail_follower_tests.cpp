// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/follow_stretch.hpp"

#include <catch2/catch.hpp>
#include <opencv2/imgproc.hpp>

#include <cmath>

namespace afterscope {
namespace {

constexpr double kPxPerMm = 14;

// A dark shaft with a bright line on a cloudy ground, its tip on a wide oval; out of the picture in some
// frames.
struct Clip {
  std::vector<cv::Mat> pictures;
  std::vector<double> seconds;
  std::vector<PointPx> tips;
};

Clip DrawClip(int count, int hidden_from, int hidden_to) {
  cv::theRNG().state = 5;
  cv::Mat ground(300, 360, CV_8UC1);
  cv::randn(ground, 140, 60);
  cv::GaussianBlur(ground, ground, {}, 8);
  cv::normalize(ground, ground, 125, 165, cv::NORM_MINMAX);
  Clip clip;
  for (int i = 0; i < count; ++i) {
    const double t = i / 30.0;
    const PointPx tip{180 + 60 * std::sin(1.1 * t), 140 + 35 * std::cos(1.7 * t)};
    cv::Mat picture = ground.clone();
    const cv::Point2d hand(330, 300);
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

std::vector<FollowedPoint> Follow(TrailFollower& follower, const Clip& clip) {
  for (const std::size_t i : follower.FramesToLookAt()) follower.Look(i, clip.pictures[i]);
  return follower.Solve();
}

}  // namespace

TEST_CASE("A drawn instrument is followed from one point, forwards and backwards") {
  const Clip clip = DrawClip(90, 0, 0);
  TrailFollower follower(clip.seconds, kPxPerMm, {180, 150});
  follower.SetByHand(40, clip.pictures[40], clip.tips[40]);
  const auto trail = Follow(follower, clip);
  int good = 0;
  for (std::size_t i = 0; i < trail.size(); ++i)
    good += trail[i].pose && Distance(trail[i].pose->tip, clip.tips[i]) < 0.15 * kPxPerMm;
  CHECK(good >= 86);  // 95 % of 90
  CHECK(trail[40].by_hand);
  CHECK(trail[40].confidence == 1);
}

TEST_CASE("An instrument that leaves makes a gap and is found again") {
  const Clip clip = DrawClip(90, 50, 65);
  TrailFollower follower(clip.seconds, kPxPerMm, {180, 150});
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
  const Clip clip = DrawClip(60, 0, 0);
  TrailFollower follower(clip.seconds, kPxPerMm, {180, 150});
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
  TrailFollower empty({}, kPxPerMm, {0, 0});
  CHECK(empty.Solve().empty());
  const Clip clip = DrawClip(3, 0, 0);
  TrailFollower follower(clip.seconds, kPxPerMm, {180, 150});
  for (const FollowedPoint& p : Follow(follower, clip)) CHECK_FALSE(p.pose);
  follower.SetByHand(3, clip.pictures[0], {10, 10});
  follower.SetByHand(0, {}, {10, 10});
  follower.SetByHand(0, clip.pictures[0], {std::nan(""), 10});
  CHECK(follower.set_by_hand() == 0);
}

TEST_CASE("Points at the picture's edge or outside, and absurd scales, do no harm") {
  const Clip clip = DrawClip(4, 0, 0);
  const double px_per_mm = GENERATE(-1.0, 0.5, 14.0, 400.0);
  const PointPx tip = GENERATE(PointPx{0, 0}, PointPx{359, 299}, PointPx{-500, 9000});
  TrailFollower follower(clip.seconds, px_per_mm, {180, 150});
  follower.SetByHand(1, clip.pictures[1], tip);
  CHECK(Follow(follower, clip).size() == 4);
}

TEST_CASE("Looking at a stretch can be stopped and goes on where it was") {
  const Clip clip = DrawClip(12, 0, 0);
  TrailFollower follower(clip.seconds, kPxPerMm, {180, 150});
  follower.SetByHand(0, clip.pictures[0], clip.tips[0]);
  int asked = 0;
  const auto pictures = [&](std::size_t i) { return ++asked, i == 7 ? cv::Mat() : clip.pictures[i]; };
  const auto stopped = LookAtStretch(follower, pictures, [&] { return asked == 4; }, {});
  REQUIRE_FALSE(stopped.ok());
  CHECK(stopped.error().code == ErrorCode::kStopped);
  CHECK(follower.FramesToLookAt().size() == 7);
  double last = 0;
  CHECK(LookAtStretch(follower, pictures, {}, [&](double share) {
          CHECK(share >= last);
          last = share;
        }).ok());
  CHECK(last == 1);
  CHECK(asked == 11);
  CHECK(follower.FramesToLookAt().empty());
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
