// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// The smooth closed curve through marked points in their order: a periodic cubic spline over chord length. It
// is what is drawn; what is measured is an OutlineModel, which knows that marks are not exact.
class SmoothClosedCurve {
 public:
  // Points that repeat their neighbour are left out; empty with fewer than three others, or with coordinates
  // that are not finite.
  static std::optional<SmoothClosedCurve> Through(const std::vector<PointSq>& points);

  // The point at a share of the chord length; periodic, At(0) is the first marked point.
  PointSq At(double share) const;
  // `per_span` points for each marked one, the marked ones among them.
  std::vector<PointSq> Sample(int per_span = 16) const;

 private:
  SmoothClosedCurve() = default;
  PointSq InSpan(std::size_t span, double along) const;

  std::vector<PointSq> points_;
  std::vector<double> start_;        // chord length at each point, and the whole at the end
  std::vector<OffsetSq> curvature_;  // second derivative at each point
};

}  // namespace afterscope
