// SPDX-License-Identifier: Apache-2.0
#include "metrics/geometry/circle.hpp"

#include <Eigen/Dense>
#include <opencv2/imgproc.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace afterscope {
namespace {

PointSq Mean(const std::vector<PointSq>& points) {
  OffsetSq sum;
  for (const PointSq& p : points) sum = sum + (p - PointSq{});
  return PointSq{} + sum / static_cast<double>(points.size());
}

double Spread(const std::vector<PointSq>& points, PointSq about) {
  double most = 0;
  for (const PointSq& p : points) most = std::max(most, Distance(p, about));
  return most;
}

// x^2 + y^2 = 2 a x + 2 b y + c in least squares, about `origin` in units of `unit`.
std::optional<CircleSq> AlgebraicFit(const std::vector<PointSq>& points, PointSq origin, double unit) {
  Eigen::MatrixXd m(points.size(), 3);
  Eigen::VectorXd right(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) {
    const OffsetSq d = (points[i] - origin) / unit;
    const auto row = static_cast<Eigen::Index>(i);
    m.row(row) << 2 * d.x, 2 * d.y, 1;
    right(row) = Dot(d, d);
  }
  const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(m);
  if (qr.rank() < 3 || std::abs(qr.matrixR()(2, 2)) < 1e-7) return std::nullopt;
  const Eigen::Vector3d x = qr.solve(right);
  const double squared = x(2) + x(0) * x(0) + x(1) * x(1);
  if (!(squared > 0)) return std::nullopt;
  return CircleSq{origin + unit * OffsetSq{x(0), x(1)}, unit * std::sqrt(squared)};
}

CircleSq GaussNewtonStep(const std::vector<PointSq>& points, const CircleSq& circle) {
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d gradient = Eigen::Vector3d::Zero();
  for (const PointSq& p : points) {
    const OffsetSq d = p - circle.centre;
    const double distance = std::max(d.Length(), 1e-12);
    const Eigen::Vector3d row(-d.x / distance, -d.y / distance, -1);
    normal += row * row.transpose();
    gradient += row * (distance - circle.radius);
  }
  const Eigen::Vector3d step = normal.ldlt().solve(-gradient);
  return {circle.centre + OffsetSq{step(0), step(1)}, circle.radius + step(2)};
}

}  // namespace

std::optional<CircleSq> FitCircle(const std::vector<PointSq>& points) {
  if (points.size() < 3) return std::nullopt;
  const PointSq mean = Mean(points);
  const double spread = Spread(points, mean);
  if (!(spread > 0) || !std::isfinite(spread)) return std::nullopt;
  std::optional<CircleSq> circle = AlgebraicFit(points, mean, spread);
  for (int i = 0; circle && i < 20; ++i) {
    const CircleSq next = GaussNewtonStep(points, *circle);
    if (!std::isfinite(next.radius) || !(next.radius > 0)) return circle;
    const double change = Distance(next.centre, circle->centre) + std::abs(next.radius - circle->radius);
    circle = next;
    if (change < 1e-12 * spread) break;
  }
  return circle;
}

std::optional<EllipseSq> FitEllipse(const std::vector<PointSq>& points) {
  if (points.size() < 5) return std::nullopt;
  const PointSq mean = Mean(points);
  const double spread = Spread(points, mean);
  if (!(spread > 0) || !std::isfinite(spread)) return std::nullopt;
  std::vector<cv::Point2f> scaled;
  for (const PointSq& p : points) {
    const OffsetSq d = (p - mean) * (100 / spread);
    scaled.emplace_back(static_cast<float>(d.x), static_cast<float>(d.y));
  }
  cv::RotatedRect box;
  try {
    box = cv::fitEllipseDirect(scaled);
  } catch (const cv::Exception&) {
    return std::nullopt;
  }
  const double unit = spread / 100;
  EllipseSq out{mean + unit * OffsetSq{box.center.x, box.center.y}, unit * box.size.width / 2,
                unit * box.size.height / 2, Angle::Degrees(box.angle)};
  if (!(out.major > 0) || !(out.minor > 0) || !std::isfinite(out.major + out.minor)) return std::nullopt;
  if (out.major < out.minor) {
    std::swap(out.major, out.minor);
    out.tilt = out.tilt + Angle::Degrees(90);
  }
  out.tilt = Angle::Degrees(std::fmod(WrappedDirection(out.tilt).degrees(), 180.0));
  return out;
}

CircleOverlap OverlapOfCircles(double r, double R, double d) {
  using std::numbers::pi;
  CircleOverlap out;
  out.margin_least = R - r - d;
  out.margin_most = R - r + d;
  if (d >= r + R) return out;
  if (d <= std::abs(R - r)) {
    out.area = pi * std::min(r, R) * std::min(r, R);
    out.bare_arc = Angle::Degrees(r > R ? 360 : 0);
    return out;
  }
  const auto arc = [](double cosine) { return std::acos(std::clamp(cosine, -1.0, 1.0)); };
  const double root = std::sqrt((-d + r + R) * (d + r - R) * (d - r + R) * (d + r + R));
  out.area = r * r * arc((d * d + r * r - R * R) / (2 * d * r)) +
             R * R * arc((d * d + R * R - r * r) / (2 * d * R)) - root / 2;
  out.bare_arc = Angle::Radians(2 * arc((d * d + R * R - r * r) / (2 * d * R)));
  return out;
}

}  // namespace afterscope
