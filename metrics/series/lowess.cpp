// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/lowess.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/quantiles.hpp"
#include "metrics/series/ranks.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace afterscope {
namespace {

constexpr auto kSmoothName = "The smooth line";

struct Window {
  std::size_t first = 0;
  std::size_t size = 0;
};

// Moves the window on while its right neighbour is nearer to x than its first point.
void MoveTo(Window& window, std::span<const double> x, double at) {
  while (window.first + window.size < x.size() && at - x[window.first] > x[window.first + window.size] - at)
    ++window.first;
}

// The local line's value at `at`; points beyond the window but as near as its farthest take part too.
double LocalLine(const Window& window, std::span<const double> x, std::span<const double> y,
                 const std::vector<double>& robust, double at) {
  const double reach = std::max(at - x[window.first], x[window.first + window.size - 1] - at);
  std::vector<double> weights;
  double total = 0;
  double mean_x = 0;
  double mean_y = 0;
  for (std::size_t i = window.first; i < x.size() && x[i] <= at + reach; ++i) {
    const double distance = std::fabs(x[i] - at);
    double weight = 1;
    if (reach > 0 && distance > 0.001 * reach)
      weight = distance > 0.999 * reach ? 0 : std::pow(1 - std::pow(distance / reach, 3), 3);
    weights.push_back(weight * robust[i]);
    total += weights.back();
    mean_x += weights.back() * x[i];
    mean_y += weights.back() * y[i];
  }
  if (total <= 0) return std::nan("");
  mean_x /= total;
  mean_y /= total;
  double xx = 0;
  double xy = 0;
  for (std::size_t k = 0; k < weights.size(); ++k) {
    const double dx = x[window.first + k] - mean_x;
    xx += weights[k] * dx * dx;
    xy += weights[k] * dx * (y[window.first + k] - mean_y);
  }
  const double range = x.back() - x.front();
  const bool flat = std::sqrt(xx / total) <= 0.001 * range;
  return flat ? mean_y : mean_y + xy / xx * (at - mean_x);
}

void Interpolate(std::span<const double> x, std::vector<double>& fitted, std::size_t from, std::size_t to) {
  for (std::size_t i = from + 1; i < to; ++i) {
    const double share = (x[i] - x[from]) / (x[to] - x[from]);
    fitted[i] = fitted[from] + share * (fitted[to] - fitted[from]);
  }
}

// The next point to be fitted after `at`: the last one within `skip`, or the next one beyond; equal x copy
// the value.
std::size_t NextAnchor(std::span<const double> x, std::vector<double>& fitted, std::size_t at, double skip,
                       std::size_t& last_equal) {
  last_equal = at;
  std::size_t next = at + 1;
  while (next < x.size() && x[next] <= x[at] + skip) {
    if (x[next] == x[at]) {
      fitted[next] = fitted[at];
      last_equal = next;
    }
    ++next;
  }
  return std::min(std::max(last_equal + 1, next - 1), x.size() - 1);
}

std::vector<double> Pass(std::span<const double> x, std::span<const double> y,
                         const std::vector<double>& robust, std::size_t window_size, double skip) {
  std::vector<double> fitted(x.size());
  Window window{0, window_size};
  std::size_t from = 0;
  std::size_t at = 0;
  for (bool first = true;; first = false) {
    MoveTo(window, x, x[at]);
    const double value = LocalLine(window, x, y, robust, x[at]);
    fitted[at] = std::isnan(value) ? y[at] : value;
    if (!first && at > from + 1) Interpolate(x, fitted, from, at);
    if (at + 1 >= x.size()) return fitted;
    const std::size_t next = NextAnchor(x, fitted, at, skip, from);
    if (from + 1 >= x.size()) return fitted;
    at = next;
  }
}

// Bisquare weights from residuals; empty if the fit is already perfect.
std::vector<double> RobustWeights(std::span<const double> y, const std::vector<double>& fitted) {
  std::vector<double> distances(y.size());
  double mean = 0;
  for (std::size_t i = 0; i < y.size(); ++i) {
    distances[i] = std::fabs(y[i] - fitted[i]);
    mean += distances[i] / static_cast<double>(y.size());
  }
  const double scale = 6 * SortedQuantile(Sorted(distances), 0.5);
  if (scale < 1e-7 * mean || scale == 0) return {};
  for (double& d : distances) {
    const double u = d / scale;
    d = u <= 0.001 ? 1 : u > 0.999 ? 0 : (1 - u * u) * (1 - u * u);
  }
  return distances;
}

}  // namespace

Result<std::vector<double>> Lowess(std::span<const double> x, std::span<const double> y,
                                   const LowessOptions& options) {
  AFTERSCOPE_TRY(CheckPairs(x, y, 3, kSmoothName));
  if (!std::is_sorted(x.begin(), x.end())) return NotComputable(kSmoothName, "the cases are not in order");
  if (!(options.share > 0 && options.share <= 1))
    return NotComputable(kSmoothName, "its share is not between 0 and 1");
  const double n = static_cast<double>(x.size());
  const auto window =
      std::clamp(static_cast<std::size_t>(options.share * n + 1e-7), std::size_t{2}, x.size());
  const double skip = std::max(0.0, options.skip) * (x.back() - x.front());
  std::vector<double> robust(x.size(), 1.0);
  std::vector<double> fitted = Pass(x, y, robust, window, skip);
  for (int pass = 0; pass < options.robust_passes; ++pass) {
    robust = RobustWeights(y, fitted);
    if (robust.empty()) break;
    fitted = Pass(x, y, robust, window, skip);
  }
  return fitted;
}

}  // namespace afterscope
