// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/welch.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/descriptive.hpp"
#include "metrics/series/distribution.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr auto kWelchName = "The difference of the means";
constexpr std::size_t kSmallGroup = 15;

}  // namespace

Result<Welch> WelchTest(std::span<const double> a, std::span<const double> b, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckValues(a, 2, kWelchName));
  AFTERSCOPE_TRY(CheckValues(b, 2, kWelchName));
  AFTERSCOPE_ASSIGN(const double mean_a, Mean(a));
  AFTERSCOPE_ASSIGN(const double mean_b, Mean(b));
  AFTERSCOPE_ASSIGN(const double sd_a, StandardDeviation(a));
  AFTERSCOPE_ASSIGN(const double sd_b, StandardDeviation(b));
  if (sd_a == 0 && sd_b == 0) return NotComputable(kWelchName, "neither group varies");
  const double n_a = static_cast<double>(a.size());
  const double n_b = static_cast<double>(b.size());
  const double part_a = sd_a * sd_a / n_a;
  const double part_b = sd_b * sd_b / n_b;
  const double error = std::sqrt(part_a + part_b);

  Welch out;
  out.n_a = a.size();
  out.n_b = b.size();
  out.t = (mean_b - mean_a) / error;
  out.df =
      (part_a + part_b) * (part_a + part_b) / (part_a * part_a / (n_a - 1) + part_b * part_b / (n_b - 1));
  out.p = TwoSidedStudentP(out.t, out.df);
  const double half = StudentFactor(level, out.df) * error;
  out.difference = {mean_b - mean_a, mean_b - mean_a - half, mean_b - mean_a + half, level};
  out.method = "Welch's t";
  if (std::min(a.size(), b.size()) < kSmallGroup)
    out.cautions.emplace_back(
        "Small groups: the rank sum is safer unless the values are known to be normal.");
  return out;
}

}  // namespace afterscope
