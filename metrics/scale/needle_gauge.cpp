// SPDX-License-Identifier: Apache-2.0
#include "metrics/scale/needle_gauge.hpp"

#include <array>
#include <cmath>

namespace afterscope {
namespace {

struct TubingLimits {
  double least_mm, most_mm;
};
constexpr int kWidestGauge = 18;
constexpr std::array<TubingLimits, 16> kTubing{{{1.200, 1.300},
                                                {1.030, 1.100},
                                                {0.860, 0.920},
                                                {0.800, 0.830},
                                                {0.698, 0.730},
                                                {0.600, 0.673},
                                                {0.550, 0.580},
                                                {0.500, 0.530},
                                                {0.440, 0.470},
                                                {0.400, 0.420},
                                                {0.349, 0.370},
                                                {0.324, 0.351},
                                                {0.298, 0.320},
                                                {0.254, 0.267},
                                                {0.229, 0.241},
                                                {0.203, 0.216}}};

}  // namespace

std::optional<KnownLength> NeedleDiameter(int gauge) {
  const int place = gauge - kWidestGauge;
  if (place < 0 || place >= static_cast<int>(kTubing.size())) return std::nullopt;
  const auto [least, most] = kTubing[static_cast<std::size_t>(place)];
  return KnownLength{(least + most) / 2, (most - least) / std::sqrt(12.0)};
}

}  // namespace afterscope
