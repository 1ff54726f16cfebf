// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/path/tip_path.hpp"

#include <random>

namespace afterscope::test {

// A tip's true path and what is marked of it without error.
struct TrueTrail {
  TipStretch samples;
  double length = 0;
};
// Minimum-jerk strokes between random places in a square of `reach`, each lasting 0.4 to 1.2 s, with rests of
// up to a second between; square pixels. Its length is that within the band of 4 Hz.
TrueTrail Strokes(std::mt19937_64& random, double seconds, double rate, double reach);
// Evenly round a circle.
TrueTrail RoundCircle(double seconds, double rate, double radius, double turns);
TrueTrail Still(double seconds, double rate);
TipStretch Marked(const TipStretch& truth, double sd, std::mt19937_64& random);

}  // namespace afterscope::test
