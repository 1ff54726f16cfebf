// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/tip_path.hpp"
#include "tests/metrics/path/trails_support.hpp"

#include <catch2/catch.hpp>

#include <cmath>

namespace afterscope {
namespace {

// 2000 trails of minimum-jerk strokes with rests, 12 s at 30 frames a second, 3 mm of reach at 30 to 60
// pixels a millimetre, 1.5 pixels of marking error.
TEST_CASE("Limits of the path length hold the truth", "[path][coverage]") {
  std::mt19937_64 random(77);
  std::uniform_real_distribution<double> reach(90, 180);
  int held = 0;
  double error = 0;
  const int trails = 2000;
  for (int i = 0; i < trails; ++i) {
    const test::TrueTrail trail = test::Strokes(random, 12, 30, reach(random));
    TipPathOptions options;
    options.simulations = 20;
    options.seed = static_cast<unsigned>(i);
    const auto path = MeasureTipPath({test::Marked(trail.samples, 1.5, random)}, options, nullptr);
    REQUIRE(path);
    held += path->length.low <= trail.length && trail.length <= path->length.high;
    error += (path->length.value / trail.length - 1) / trails;
  }
  INFO(100.0 * held / trails << " % held, mean error " << 100 * error << " %");
  CHECK(held >= 0.93 * trails);
  CHECK(held <= 0.97 * trails);
  CHECK(std::abs(error) < 0.015);  // found: 1.1 %, of rests next to strokes
}

}  // namespace
}  // namespace afterscope
