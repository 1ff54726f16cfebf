// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/point.hpp"

#include <optional>
#include <vector>

namespace afterscope {

// Spectral arc length of a speed profile, more negative is less smooth (Balasubramanian et al., J NeuroEng
// Rehabil 2015;12:112): the spectrum's magnitude, zero-padded by four powers of two and scaled to its largest
// value, up to `most_hz`, between the first and the last frequency where it reaches `threshold`; minus the
// length of that curve with the frequency span as unit. Empty with fewer than 4 values, or without any speed.
std::optional<double> SpectralArcLength(const std::vector<double>& speed, double rate_hz, double most_hz = 10,
                                        double threshold = 0.05);

// Log dimensionless jerk -ln(T^3 / v_peak^2 * sum j^2 dt), with T = N dt as the authors compute it. Two kinds
// that must not be compared with each other: of scalar speed (j is its second difference) and of the motion
// in the plane (j is the length of the jerk vector, the third difference of positions). Empty with fewer than
// 4 (5) values, without speed, or without jerk (then it is not defined).
std::optional<double> LogJerkOfSpeed(const std::vector<double>& speed, double rate_hz);
std::optional<double> LogJerkOfMotion(const std::vector<PointSq>& positions, double rate_hz);

}  // namespace afterscope
