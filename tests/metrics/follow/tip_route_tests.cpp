// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_route.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

TipCandidate At(double x, double y, double odds) {
  TipCandidate out;
  out.pose = {{x, y}, Angle::Degrees(40)}, out.odds = odds;
  return out;
}

TipGlimpse Stripes(std::size_t period) {
  TipGlimpse out;
  for (std::size_t i = 0; i < out.values.size(); ++i) out.values[i] = i / period % 2 ? 40 : -40;
  return out;
}

std::vector<RouteFrame> Frames(std::size_t count) {
  std::vector<RouteFrame> frames(count);
  for (std::size_t i = 0; i < count; ++i) frames[i].seconds = static_cast<double>(i) / 30;
  return frames;
}

}  // namespace

TEST_CASE("A likelier place far off the way is not believed for one frame") {
  std::vector<RouteFrame> frames = Frames(21);
  for (std::size_t i = 0; i < frames.size(); ++i)
    frames[i].candidates = {At(100 + 2.0 * static_cast<double>(i), 80, 2)};
  frames[10].candidates.push_back(At(300, 200, 4));
  const auto route = BestRoute(frames, 20);
  REQUIRE(route[10].at);
  CHECK(route[10].at->pose.tip == PointPx{120, 80});
  CHECK(route[10].margin > 3);
}

TEST_CASE("Between two places as likely the hand-set point decides, for the whole stretch") {
  std::vector<RouteFrame> frames = Frames(15);
  for (RouteFrame& frame : frames) frame.candidates = {At(100, 80, 2), At(200, 80, 2)};
  CHECK(BestRoute(frames, 20)[3].margin == Approx(0).margin(1e-6));
  frames[14].set_by_hand = At(200, 80, 4);
  const auto route = BestRoute(frames, 20);
  CHECK(route[0].at->pose.tip.x == 200);
  CHECK(route[3].margin > 3);
  CHECK(route[14].margin == 100);
}

TEST_CASE("Frames in which nothing is like the tip are a gap, and it is found again") {
  std::vector<RouteFrame> frames = Frames(40);
  for (std::size_t i = 0; i < frames.size(); ++i)
    frames[i].candidates = {i >= 12 && i < 26 ? At(180, 60, -5) : At(100 + static_cast<double>(i), 80, 3)};
  const auto route = BestRoute(frames, 20);
  for (std::size_t i = 0; i < frames.size(); ++i) CHECK(route[i].at.has_value() == (i < 12 || i >= 26));
}

TEST_CASE("What looks as it did a frame before is followed, though another place is likelier by itself") {
  std::vector<RouteFrame> frames = Frames(20);
  for (std::size_t i = 0; i < frames.size(); ++i) {
    frames[i].candidates = {At(100, 80, 0), At(108, 80, 1)};
    frames[i].candidates[0].glimpse = Stripes(3);
    frames[i].candidates[1].glimpse = Stripes(4 + i % 3);
  }
  frames[0].set_by_hand = frames[0].candidates[0];
  for (const RoutePoint& p : BestRoute(frames, 20)) CHECK(p.at->pose.tip.x == 100);
}

TEST_CASE("A quick way that a walk went is followed, not a place nearly as likely that stays", "[follow]") {
  std::vector<RouteFrame> frames = Frames(12);
  for (std::size_t i = 0; i < frames.size(); ++i)
    frames[i].candidates = {At(100 + 14.0 * static_cast<double>(i), 80, -1), At(100, 80, -2)};  // 21 mm/s
  CHECK(BestRoute(frames, 20)[11].at->pose.tip.x == 100);
  for (RouteFrame& frame : frames) frame.candidates[0].evidence.walked_by = 0b10;
  CHECK(BestRoute(frames, 20)[11].at->pose.tip.x == 254);
}

TEST_CASE("Route: no frames, and frames without candidates") {
  CHECK(BestRoute({}, 20).empty());
  const auto route = BestRoute(Frames(3), 20);
  REQUIRE(route.size() == 3);
  for (const RoutePoint& p : route) CHECK_FALSE(p.at);
}

}  // namespace afterscope
