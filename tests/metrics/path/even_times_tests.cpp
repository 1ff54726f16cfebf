// SPDX-License-Identifier: Apache-2.0
#include "metrics/path/even_times.hpp"

#include <catch2/catch.hpp>

namespace afterscope {

TEST_CASE("points bunched in time do not make millions of samples", "[path]") {
  TipStretch stretch;
  for (int i = 0; i < 1000; ++i) {  // eights of points a microsecond apart, a second between them
    TipSample sample;
    sample.seconds = i / 8 + 1e-6 * (i % 8);
    stretch.push_back(sample);
  }
  const double interval = MedianInterval({stretch});
  CHECK(interval > 1e-6);
  CHECK(AtEvenTimes(stretch, interval).size() <= 20 * stretch.size() + 1);
}

TEST_CASE("evenly spaced points are taken as they are", "[path]") {
  TipStretch stretch;
  for (int i = 0; i < 50; ++i) {
    TipSample sample;
    sample.seconds = i / 25.0;
    stretch.push_back(sample);
  }
  CHECK(MedianInterval({stretch}) == Approx(0.04));
  CHECK(AtEvenTimes(stretch, 0.04).size() == 50);
  CHECK(MedianInterval({}) == 0);
}

}  // namespace afterscope
