// SPDX-License-Identifier: Apache-2.0
#include "metrics/follow/find_shaft.hpp"

#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <tuple>
#include <utility>
#include <vector>

namespace afterscope {
namespace {

constexpr double kShaftPxPerMm = 12;
constexpr int kSegment = 12, kSegments = 7;  // along the shaft, pixels at that scale
constexpr int kBesideShaft = 18;             // to either side
constexpr int kNearShaft = 4;                // of the tip: left out, its own end is no edge of the shaft
constexpr float kEdge = 12;                  // gradient at which an edge counts half

// Edge directions as vectors of twice the angle, so that a light and a dark edge agree; length 0 to 1 by
// strength.
cv::Mat EdgeDirections(const cv::Mat& gray) {
  cv::Mat gx, gy, out(gray.size(), CV_32FC2);
  cv::Sobel(gray, gx, CV_32F, 1, 0, 3, 0.25);
  cv::Sobel(gray, gy, CV_32F, 0, 1, 3, 0.25);
  for (int y = 0; y < gray.rows; ++y)
    for (int x = 0; x < gray.cols; ++x) {
      const float a = gx.at<float>(y, x), b = gy.at<float>(y, x), g2 = a * a + b * b;
      const float strength = g2 / (g2 + kEdge * kEdge) / std::max(g2, 1e-6F);
      out.at<cv::Vec2f>(y, x) = {strength * (a * a - b * b), strength * 2 * a * b};
    }
  return out;
}

// How much edge runs along `shaft` on both sides of the axis from `from` to `from` + kSegment past the tip: 0
// to 1.
double BandIn(const cv::Mat& edges, PointPx tip, Angle shaft, int from, double beside) {
  const double c = std::cos(shaft.radians()), s = std::sin(shaft.radians());
  const auto c2 = static_cast<float>(std::cos(2 * shaft.radians())),
             s2 = static_cast<float>(std::sin(2 * shaft.radians()));
  std::array<double, 2 * kBesideShaft + 1> rows{};
  for (std::size_t row = 0; row < rows.size(); ++row) {
    const int v = static_cast<int>(row) - kBesideShaft;
    double sum = 0;
    for (int u = from; u < from + kSegment; ++u) {
      const int x = static_cast<int>(std::lround(tip.x + c * u - s * (v + beside)));
      const int y = static_cast<int>(std::lround(tip.y + s * u + c * (v + beside)));
      if (x < 0 || y < 0 || x >= edges.cols || y >= edges.rows) return -1;
      const cv::Vec2f e = edges.at<cv::Vec2f>(y, x);
      sum -= e[0] * c2 + e[1] * s2;
    }
    rows[row] = std::max(0.0, sum / kSegment);
  }
  double best = 0;
  constexpr std::size_t kAxis = kBesideShaft;
  const auto about = [&](std::size_t row) { return std::max({rows[row - 1], rows[row], rows[row + 1]}); };
  for (std::size_t half = 2; half < kAxis; ++half)
    best = std::max(best, std::sqrt(about(kAxis + half) * about(kAxis - half)));
  return best;
}

double ShaftAt(const cv::Mat& edges, PointPx tip, Angle shaft) {
  double sum = 0, weight = 0;
  for (int k = 0; k < kSegments; ++k) {
    const double band = BandIn(edges, tip, shaft, kNearShaft + k * kSegment, 0);
    if (band < 0) break;  // the picture ends
    const double w = 1.0 / (1 + 0.3 * k);
    sum += w * band, weight += w;
  }
  if (weight < 1) return 0;
  const double past = std::max(0.0, BandIn(edges, tip, shaft, -kNearShaft - kSegment, 0));
  return std::max(0.0, sum / weight - 0.4 * past);
}

// What lies round a tip: its edges at kShaftPxPerMm, the tip in their middle.
struct Surroundings {
  cv::Mat edges;
  PointPx tip;
  double ScoreOf(double degrees) const { return ShaftAt(edges, tip, Angle::Degrees(degrees)); }
};

// None where the tip lies outside the picture.
std::optional<Surroundings> SurroundingsOf(const cv::Mat& picture, PointPx tip, double px_per_mm) {
  if (picture.empty() || !(tip.x >= 0 && tip.y >= 0 && tip.x < picture.cols && tip.y < picture.rows))
    return std::nullopt;
  const double scale = std::min(1.0, kShaftPxPerMm / px_per_mm);
  const int reach = kNearShaft + kSegments * kSegment + kBesideShaft;
  const cv::Mat part =
      Turned(picture, tip, {}, 1, {reach / scale, reach / scale},
             {static_cast<int>(2 * reach / scale) + 1, static_cast<int>(2 * reach / scale) + 1});
  cv::Mat small;
  cv::resize(part, small, {2 * reach + 1, 2 * reach + 1}, 0, 0, cv::INTER_AREA);
  cv::GaussianBlur(small, small, {}, 0.8);
  return Surroundings{EdgeDirections(small), {static_cast<double>(reach), static_cast<double>(reach)}};
}

}  // namespace

std::size_t ShaftStepOf(Angle direction, int steps_on) {
  constexpr auto kAll = static_cast<long>(std::tuple_size_v<ShaftScores>);
  const long step = std::lround(direction.degrees() / kShaftStepDeg) + steps_on;
  return static_cast<std::size_t>((step % kAll + kAll) % kAll);
}

ShaftScores ScoreShafts(const cv::Mat& picture, PointPx tip, double px_per_mm) {
  ShaftScores out{};
  const auto round = SurroundingsOf(picture, tip, px_per_mm);
  if (!round) return out;
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = round->ScoreOf(kShaftStepDeg * static_cast<double>(i));
  return out;
}

FoundShaft FindShaft(const cv::Mat& picture, PointPx tip, double px_per_mm) {
  return FindShaftNear(picture, tip, px_per_mm, {}, Angle::Degrees(180));
}

FoundShaft FindShaftNear(const cv::Mat& picture, PointPx tip, double px_per_mm, Angle near, Angle span) {
  const auto round = SurroundingsOf(picture, tip, px_per_mm);
  if (!round) return {};
  FoundShaft best;
  double second = 0;
  const auto look = [&](double degrees) {
    const double band = round->ScoreOf(degrees);
    if (band > best.trust) best = {Angle::Degrees(degrees), band};
    return band;
  };
  std::vector<std::pair<double, double>> all;
  for (double d = -span.degrees(); d < span.degrees(); d += kShaftStepDeg)
    all.emplace_back(near.degrees() + d, look(near.degrees() + d));
  const double coarse = best.trust > 0 ? best.shaft.degrees() : near.degrees();
  best.shaft = Angle::Degrees(coarse);
  for (const auto& [degrees, band] : all)
    if (std::abs(std::remainder(degrees - coarse, 360.0)) > 20) second = std::max(second, band);
  for (double d = -2; d <= 2; d += 1) look(coarse + d);
  best.shaft = WrappedDirection(best.shaft);
  best.trust = best.trust > 0
                   ? std::clamp(best.trust * 2 * (1 - second / best.trust) + 0.5 * best.trust, 0.0, 1.0)
                   : 0;
  return best;
}

}  // namespace afterscope
