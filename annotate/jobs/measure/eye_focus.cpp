// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/eye_focus.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

constexpr double kSharpShare = 0.7, kSharpQuantile = 0.9;
constexpr std::size_t kLeastSharpSights = 10;

}  // namespace

std::optional<double> FocusLimit(const FollowedEye& eye) {
  std::vector<double> sharp;
  for (const EyeSight& s : eye.sights)
    if (s.sharpness > 0) sharp.push_back(s.sharpness);
  if (sharp.size() < kLeastSharpSights) return std::nullopt;
  const auto at = sharp.begin() + std::lround(kSharpQuantile * static_cast<double>(sharp.size() - 1));
  std::nth_element(sharp.begin(), at, sharp.end());
  return kSharpShare * *at;
}

}  // namespace afterscope
