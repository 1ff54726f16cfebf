// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/marking_error.hpp"
#include "metrics/base/point.hpp"
#include "metrics/geometry/radial_curve.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// What an edge may be, given points that were marked along it with a known error. A curve drawn exactly
// through noisy points is longer and less round than the edge; therefore the radius about the outline's
// centre is modelled as a Fourier series up to order 10 (waves shorter than a tenth of the turn are not told
// from marking error) whose terms of order k >= 2 have a normal prior of standard deviation s / k^p (a
// periodic smoothing spline in its Bayesian form: Wahba, Spline Models for Observational Data, 1990, from
// memory), with s and p averaged over their likelihood. Draws from the posterior carry the marking error into
// every measure, and their mean is free of the bias that the error would give a perimeter, a largest or a
// smallest diameter.
class OutlineModel {
 public:
  static constexpr int kDirections = 180;

  // Empty, with the reason in `why` (if given): fewer than 5 points, not finite, on a line, self-crossing, or
  // folded so that a direction from the centre meets it twice.
  static std::optional<OutlineModel> Fit(const std::vector<PointSq>& marked, const MarkingError& error,
                                         std::string* why);

  // The most plausible outline.
  const RadialCurve& Mean() const { return mean_; }
  // Plausible outlines, each with its own shared error. The same seed gives the same.
  std::vector<RadialCurve> Draw(int count, unsigned seed) const;
  const MarkingError& error() const { return error_; }

 private:
  struct Posterior;
  OutlineModel() = default;

  MarkingError error_;
  RadialCurve mean_;
  std::shared_ptr<const Posterior> posterior_;
};

}  // namespace afterscope
