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

// Logistic regression on candidates of followed phantoms (21,600 of seeds 300 to 303; by look 22,500 of
// them).
double OddsOf(const TipEvidence& e) {
  const double off_pivot = std::pow(std::min(e.off_pivot / 10, 3.0), 2);
  if (e.by_ground)
    return -2.38 + 11.87 * e.fit + 29.35 * e.score + 1.36 * std::log1p(e.seconds) -
           7.12 * std::log1p(e.behind) + 1.47 * std::log1p(e.beyond) - 0.81 * std::log1p(e.aside) -
           4.66 * off_pivot;
  return -14.4 + 18.1 * e.fit - 0.82 * std::log1p(e.seconds);
}

}  // namespace afterscope
