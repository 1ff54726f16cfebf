// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/shaft_ends.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

constexpr double kStepMm = 0.1;                  // along a ray from the pivot
constexpr double kStepRadians = 0.0125;          // from a ray to the next: 0.1 mm at 8 mm
constexpr double kFirstMm = 0.75, kLastMm = 12;  // from the pivot
constexpr std::array kSinglesMm{0.2, 0.45};      // half widths: of a needle or closed forceps, of a handpiece
constexpr std::array kPairsMm{0.25, 0.36, 0.47};    // half distances of the blades of open forceps
constexpr double kBladeMm = 0.15, kBesideMm = 1.1;  // half a blade; how far what lies beside is looked at
constexpr double kBehindMm = 1.1, kBeyondMm = 0.6, kGapMm = 0.12;
constexpr double kPastMm = 0.35;  // to either side of the axis, past the end
constexpr float kUneven = 0.8F, kLeast = 0.1F;
constexpr float kHalf = 12;  // gray levels that count half
constexpr double kEndsApartMm = 0.33;

// The picture along rays from the pivot: a row a ray, a column a step of distance from the pivot.
struct Rays {
  double first_angle = 0;
  cv::Mat sums;  // integral of how much differs, 0 to 1
  int rows = 0, columns = 0;

  float Mean(int top, int bottom, int from, int to) const {
    const int y0 = std::clamp(top, 0, rows - 1), y1 = std::clamp(bottom + 1, y0 + 1, rows);
    const int x0 = std::clamp(from, 0, columns - 1), x1 = std::clamp(to, x0 + 1, columns);
    const double sum =
        sums.at<double>(y1, x1) - sums.at<double>(y0, x1) - sums.at<double>(y1, x0) + sums.at<double>(y0, x0);
    return static_cast<float>(sum / ((y1 - y0) * (x1 - x0)));
  }
};

Rays RaysFrom(const cv::Mat& differing, const ShaftEndRegion& region, double px_per_mm) {
  const OffsetPx to = region.center - region.pivot;
  const double away = std::max(to.Length(), 1e-6);
  const double spread = std::asin(std::min(1.0, region.radius_px / away)) + 0.25;
  Rays out;
  out.first_angle = std::atan2(to.y, to.x) - spread;
  out.rows = static_cast<int>(2 * spread / kStepRadians) + 1;
  out.columns = static_cast<int>((kLastMm + 1) / kStepMm);
  cv::Mat differs(out.rows, out.columns, CV_32F), map(out.rows, out.columns, CV_32FC2);
  for (int y = 0; y < out.rows; ++y) {
    const double angle = out.first_angle + y * kStepRadians, c = std::cos(angle), s = std::sin(angle);
    for (int x = 0; x < out.columns; ++x) {
      const double far = x * kStepMm * px_per_mm;
      map.at<cv::Vec2f>(y, x) = {static_cast<float>(region.pivot.x + c * far),
                                 static_cast<float>(region.pivot.y + s * far)};
    }
  }
  cv::Mat sampled;
  cv::remap(differing, sampled, map, {}, cv::INTER_LINEAR, cv::BORDER_CONSTANT);
  for (int y = 0; y < out.rows; ++y)
    for (int x = 0; x < out.columns; ++x) {
      const float off = sampled.at<std::uint8_t>(y, x);
      differs.at<float>(y, x) = off / (off + kHalf);
    }
  cv::integral(differs, out.sums, CV_64F);
  return out;
}

int Steps(double mm) { return static_cast<int>(std::lround(mm / kStepMm)); }

// A strip along a ray: rows from the ray's own on.
struct Strip {
  int top = 0, bottom = 0;
};

// What is compared at a step, which is as wide in millimetres at each: as rows, for all rays at once.
struct Strips {
  struct Single {
    Strip shaft, left, right;
  };
  struct Pair {
    Strip left, right;
  };
  std::array<Single, kSinglesMm.size()> singles;
  std::array<Pair, kPairsMm.size()> pairs;
  Strip past;

  explicit Strips(int step) {
    const double rows_a_mm = 1 / (step * kStepMm * kStepRadians);
    const auto rows = [&](double mm) { return static_cast<int>(std::floor(mm * rows_a_mm + 0.5)); };
    for (std::size_t i = 0; i < singles.size(); ++i) {
      const double half = kSinglesMm[i];
      singles[i] = {{rows(-half), rows(half)},
                    {rows(-kBesideMm), rows(-half - 0.1)},
                    {rows(half + 0.1), rows(kBesideMm)}};
    }
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      const double half = kPairsMm[i];
      pairs[i] = {{rows(-half - kBladeMm), rows(-half + kBladeMm)},
                  {rows(half - kBladeMm), rows(half + kBladeMm)}};
    }
    past = {rows(-kPastMm), rows(kPastMm)};
  }
};

// How clearly a shaft, or a pair of blades, ends at a step of a ray.
float EndingAt(const Rays& rays, const Strips& strips, int row, int step) {
  static const int behind = Steps(kBehindMm), gap = Steps(kGapMm), beyond = Steps(kGapMm + kBeyondMm);
  const auto mean = [&](const Strip& strip) {
    return rays.Mean(row + strip.top, row + strip.bottom, step - behind, step - gap + 1);
  };
  float best = 0;
  for (const Strips::Single& single : strips.singles) {
    const float one_sided = std::abs(mean(single.left) - mean(single.right));
    best = std::max(best, mean(single.shaft) - kUneven * one_sided);
  }
  for (const Strips::Pair& pair : strips.pairs) {
    const float left = mean(pair.left), right = mean(pair.right);
    best = std::max(best, std::min(left, right) - kUneven * std::abs(left - right));
  }
  if (best < kLeast) return 0;
  return best - rays.Mean(row + strips.past.top, row + strips.past.bottom, step + gap + 1, step + beyond);
}

}  // namespace

std::vector<FoundEnd> ShaftEnds(const cv::Mat& differing, const ShaftEndRegion& region, double px_per_mm,
                                std::size_t most) {
  if (differing.empty()) return {};
  const Rays rays = RaysFrom(differing, region, px_per_mm);
  const int first = static_cast<int>(kFirstMm / kStepMm), last = Steps(kLastMm);
  std::vector<Strips> strips;
  strips.reserve(static_cast<std::size_t>(last - first));
  for (int x = first; x < last; ++x) strips.emplace_back(x);
  std::vector<FoundEnd> all;
  for (int y = 0; y < rays.rows; ++y) {
    const Angle away = Angle::Radians(rays.first_angle + y * kStepRadians);
    const OffsetPx along{std::cos(away.radians()), std::sin(away.radians())};
    for (int x = first; x < last; ++x) {
      const PointPx at = region.pivot + x * kStepMm * px_per_mm * along;
      if (Distance(at, region.center) > region.radius_px) continue;
      const float clear = EndingAt(rays, strips[static_cast<std::size_t>(x - first)], y, x);
      if (clear > kLeast) all.push_back({{at, away + Angle::Radians(std::numbers::pi)}, clear});
    }
  }
  std::sort(all.begin(), all.end(), [](const FoundEnd& a, const FoundEnd& b) { return a.clear > b.clear; });
  std::vector<FoundEnd> out;
  for (const FoundEnd& end : all) {
    if (out.size() == most) break;
    const bool taken = std::any_of(out.begin(), out.end(), [&](const FoundEnd& o) {
      return Distance(o.pose.tip, end.pose.tip) < kEndsApartMm * px_per_mm;
    });
    if (!taken) out.push_back(end);
  }
  return out;
}

}  // namespace afterscope
