// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/measure/eye_focus.hpp"

#include "metrics/eye/eye_summary.hpp"

#include <vector>

namespace afterscope {
namespace {

constexpr std::size_t kLeastSharpSights = 10;

}  // namespace

std::optional<double> FocusLimit(const FollowedEye& eye) {
  std::vector<double> sharp;
  for (const EyeSight& s : eye.sights)
    if (s.sharpness > 0) sharp.push_back(s.sharpness);
  if (sharp.size() < kLeastSharpSights) return std::nullopt;
  return FocusLimitOf(sharp, kFocusShare);
}

}  // namespace afterscope
