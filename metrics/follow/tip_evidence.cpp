// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_evidence.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kPxPerMm = 9;        // that is looked at
constexpr int kBehind = 9, kGap = 2;  // pixels of that: behind the tip, and left out on either side of it
constexpr int kBeyond = 6, kBeside = 3;
constexpr int kAside = 10;  // to either side: as far as the other blade of open forceps

}  // namespace

ShaftEnd ShaftEndAt(const cv::Mat& differing, const TipPose& pose, double px_per_mm) {
  constexpr int kTip = kBeyond + kGap, kBand = 2 * kBeside + 1;
  const cv::Mat patch = Turned(differing, pose.tip, pose.shaft, kPxPerMm / px_per_mm, {kTip, kAside},
                               {kTip + kGap + kBehind, 2 * kAside + 1});
  const auto in = [&](int x, int y, int width, int height) {
    return cv::mean(patch(cv::Rect(x, y, width, height)))[0];
  };
  constexpr int kSide = kAside - kBeside;
  return {in(kTip + kGap, kSide, kBehind, kBand), in(0, kSide, kBeyond, kBand),
          std::abs(in(kTip + kGap, 0, kBehind, kSide) - in(kTip + kGap, kSide + kBand, kBehind, kSide))};
}

// Logistic regression on candidates of followed phantoms (66,000 of seeds 300 to 310; by look 22,500 of seeds
// 300 to 303).
double OddsOf(const TipEvidence& e) {
  const double off_pivot = std::pow(std::min(e.off_pivot / 10, 3.0), 2);
  const bool both = e.forth > 0 && e.back > 0;
  if (!(e.score > 0))
    return -4.96 + 3.56 * e.fit + 0.27 * std::log1p(e.seconds) + 0.72 * std::log1p(e.behind) +
           0.80 * std::log1p(e.beyond) - 1.55 * std::log1p(e.aside) - 0.98 * both + 2.16 * e.arrived;
  if (e.by_ground)
    return -3.24 + 6.86 * e.fit + 14.06 * e.score + 0.11 * std::log1p(e.seconds) -
           3.22 * std::log1p(e.behind) + 0.27 * std::log1p(e.beyond) - 0.38 * std::log1p(e.aside) -
           4.39 * off_pivot + 1.26 * (e.forth + e.back) - 1.05 * both + 1.72 * e.arrived;
  return -14.4 + 18.1 * e.fit - 0.82 * std::log1p(e.seconds) + 1.72 * e.arrived;
}

}  // namespace afterscope
