// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/line_end.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kEndPxPerMm = 16;                  // that is looked at
constexpr int kPast = 48, kBack = 51, kAside = 10;  // pixels of that, from the tip
constexpr int kShaftFrom = 9, kShaftTo = 35;        // behind the tip: what the shaft looks like
constexpr double kFaintShaft = 2;                   // of FreedOfLight: a shaft that differs less is not seen
// How much of the shaft a column shows, 1 on it and 0 past it: scatter of each, and the share of columns that
// show anything else (a glint, another edge), which tell nothing.
constexpr double kOnSd = 0.3, kOffSd = 0.35, kElse = 0.1, kElseDensity = 0.2;
constexpr double kMostSpreadMm = 0.12, kMostUsualMm = 0.6;
constexpr double kMostMovedMm = 0.4;
constexpr int kMoves = 2;

double LogOddsOfShaft(double shown) {
  const auto density = [](double off, double sd) {
    return (1 - kElse) * std::exp(-0.5 * off * off / (sd * sd)) / (sd * std::sqrt(2 * std::numbers::pi)) +
           kElse * kElseDensity;
  };
  return std::log(density(shown - 1, kOnSd) / density(shown, kOffSd));
}

double Median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace

std::optional<double> LineEnd(const cv::Mat& freed, const TipPose& pose, double px_per_mm) {
  cv::Mat columns, mean, shaft;
  Turned(freed, pose.tip, pose.shaft, kEndPxPerMm / px_per_mm,
         {static_cast<double>(kPast), static_cast<double>(kAside)}, {kPast + 1 + kBack, 2 * kAside + 1})
      .convertTo(columns, CV_32F);
  cv::GaussianBlur(columns, columns, {5, 1}, 1);
  cv::reduce(columns, mean, 0, cv::REDUCE_AVG);
  columns -= cv::repeat(mean, columns.rows, 1);
  cv::reduce(columns.colRange(kPast + kShaftFrom, kPast + kShaftTo), shaft, 1, cv::REDUCE_AVG);
  const double own = shaft.dot(shaft);
  if (own < kFaintShaft * kFaintShaft * shaft.rows) return std::nullopt;
  // All columns behind the end are shaft, all past it are none.
  double sum = 0, best = 0;
  int end = columns.cols - 1;
  for (int x = columns.cols - 1; x >= 0; --x) {
    sum += LogOddsOfShaft(std::clamp(columns.col(x).dot(shaft) / own, -1.0, 1.0));
    if (sum > best) best = sum, end = x;
  }
  return (end - kPast) / kEndPxPerMm;
}

void LineEnds::Learn(const std::vector<std::optional<double>>& at_hands) {
  usual_mm_.reset();
  std::vector<double> seen, off;
  for (const auto& at : at_hands)
    if (at) seen.push_back(*at);
  if (seen.size() < 2 || 3 * seen.size() < 2 * at_hands.size()) return;
  const double usual = Median(seen);
  for (const double at : seen) off.push_back(std::abs(at - usual));
  std::sort(off.begin(), off.end());
  if (off[off.size() * 2 / 3] < kMostSpreadMm && std::abs(usual) < kMostUsualMm) usual_mm_ = usual;
}

std::optional<TipPose> LineEnds::Moved(const cv::Mat& freed, const TipPose& near, double px_per_mm) const {
  if (!usual_mm_) return std::nullopt;
  TipPose pose = near;
  const OffsetPx along{std::cos(pose.shaft.radians()), std::sin(pose.shaft.radians())};
  for (int i = 0; i < kMoves; ++i) {
    const auto end = LineEnd(freed, pose, px_per_mm);
    if (!end) return std::nullopt;
    const double off = *end - *usual_mm_;
    if (std::abs(off) > kMostMovedMm) break;
    pose.tip = pose.tip + off * px_per_mm * along;
  }
  return pose;
}

}  // namespace afterscope
