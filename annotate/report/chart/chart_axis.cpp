// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/chart/chart_axis.hpp"

#include <cmath>

namespace afterscope {
namespace {

double RoundStep(double step) {
  const double power = std::pow(10, std::floor(std::log10(step)));
  for (const double factor : {1.0, 2.0, 5.0})
    if (factor * power >= step * (1 - 1e-9)) return factor * power;
  return 10 * power;
}

double RoundSeconds(double step) {
  for (const double known :
       {1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0})
    if (known >= step) return known;
  return RoundStep(step);
}

}  // namespace

std::vector<double> RoundTicks(double low, double high, int about, bool seconds) {
  std::vector<double> ticks;
  if (!(low < high) || !std::isfinite(low) || !std::isfinite(high) || about < 1) return ticks;
  const double wanted = (high - low) / about;
  const double step = seconds && wanted >= 1 ? RoundSeconds(wanted) : RoundStep(wanted);
  for (double k = std::ceil(low / step - 1e-9); k * step <= high * (1 + 1e-12); ++k)
    ticks.push_back(k * step);
  return ticks;
}

}  // namespace afterscope
