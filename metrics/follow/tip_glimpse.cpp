// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/tip_glimpse.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kGlimpsePxPerMm = 7;  // of a glimpse
constexpr int kSampled = 2;            // sampled so much finer, then averaged
constexpr double kPastTipMm = 0.6;     // past the tip
constexpr double kFlat = 1.5;          // gray levels: contrast below is none

}  // namespace

TipGlimpse GlimpseOf(const cv::Mat& picture, const TipPose& pose, double px_per_mm) {
  constexpr int kColumns = TipGlimpse::kColumns, kRows = TipGlimpse::kRows;
  const double beyond = kSampled * kGlimpsePxPerMm * kPastTipMm;
  const cv::Mat fine =
      Turned(picture, pose.tip, pose.shaft, kSampled * kGlimpsePxPerMm / px_per_mm,
             {beyond, 0.5 * (kSampled * kRows - 1)}, {kSampled * kColumns, kSampled * kRows});
  cv::Mat small, values;
  cv::resize(fine, small, {kColumns, kRows}, 0, 0, cv::INTER_AREA);
  small.convertTo(values, CV_32F);
  values -= cv::mean(values)[0];
  const double contrast = std::sqrt(values.dot(values) / static_cast<double>(values.total()));
  TipGlimpse out;
  if (!(contrast > kFlat)) return out;
  const auto* value = values.ptr<float>();
  for (std::size_t i = 0; i < out.values.size(); ++i)
    out.values[i] = static_cast<std::int8_t>(
        std::clamp(std::lround(TipGlimpse::kUnit * value[i] / contrast), -127L, 127L));
  return out;
}

double Likeness(const TipGlimpse& a, const TipGlimpse& b) {
  int both = 0, own = 0, other = 0;
  for (std::size_t i = 0; i < a.values.size(); ++i) {
    both += a.values[i] * b.values[i];
    own += a.values[i] * a.values[i];
    other += b.values[i] * b.values[i];
  }
  return own > 0 && other > 0 ? both / std::sqrt(static_cast<double>(own) * other) : 1;
}

}  // namespace afterscope
