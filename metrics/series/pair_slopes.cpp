// SPDX-License-Identifier: Apache-2.0
#include "metrics/series/pair_slopes.hpp"

#include "metrics/series/ranks.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

namespace afterscope {
namespace {

constexpr std::size_t kKeepAllBelow = 200000;
constexpr std::size_t kSample = 20000;

struct Bracket {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
};

struct Kept {
  std::size_t below = 0;       // slopes under the bracket
  std::vector<double> slopes;  // those in it, in no order
};

Kept SlopesIn(std::span<const double> x, std::span<const double> y, Bracket bracket) {
  Kept kept;
  for (std::size_t i = 0; i < x.size(); ++i)
    for (std::size_t j = i + 1; j < x.size(); ++j) {
      if (x[i] == x[j]) continue;
      const double slope = (y[j] - y[i]) / (x[j] - x[i]);
      if (slope < bracket.low)
        ++kept.below;
      else if (slope <= bracket.high)
        kept.slopes.push_back(slope);
    }
  return kept;
}

// Slopes of pairs drawn at random, in increasing order; the same ones every time.
std::vector<double> SampleOfSlopes(std::span<const double> x, std::span<const double> y) {
  std::minstd_rand draw(1);
  std::vector<double> sample;
  // Pairs of equal x are drawn in vain: a limit keeps a series of few different x from going on for ever.
  for (std::size_t tries = 0; sample.size() < kSample && tries < 20 * kSample; ++tries) {
    const std::size_t i = draw() % x.size();
    const std::size_t j = draw() % x.size();
    if (x[i] != x[j]) sample.push_back((y[j] - y[i]) / (x[j] - x[i]));
  }
  std::sort(sample.begin(), sample.end());
  return sample;
}

// Where the places will very likely lie, four standard errors wide on either side.
Bracket LikelyBracket(const std::vector<double>& sample, double first_share, double last_share) {
  const double size = static_cast<double>(sample.size());
  const double slack = 2 * std::sqrt(size) + 1;
  const double first = first_share * size - slack;
  const double last = last_share * size + slack;
  Bracket bracket;
  if (first > 0) bracket.low = sample[static_cast<std::size_t>(first)];
  if (last < size - 1) bracket.high = sample[static_cast<std::size_t>(last)];
  return bracket;
}

}  // namespace

std::size_t CountSlopes(std::span<const double> x) {
  std::size_t count = x.empty() ? 0 : x.size() * (x.size() - 1) / 2;
  for (const std::size_t tied : TieSizes(x)) count -= tied * (tied - 1) / 2;
  return count;
}

std::vector<double> SlopesAt(std::span<const double> x, std::span<const double> y,
                             const std::vector<std::size_t>& places) {
  const std::size_t count = CountSlopes(x);
  const auto [first, last] = std::minmax_element(places.begin(), places.end());
  Bracket bracket;
  if (count >= kKeepAllBelow) {
    const double all = static_cast<double>(count);
    bracket = LikelyBracket(SampleOfSlopes(x, y), static_cast<double>(*first) / all,
                            static_cast<double>(*last) / all);
  }
  Kept kept = SlopesIn(x, y, bracket);
  if (*first < kept.below || *last >= kept.below + kept.slopes.size()) kept = SlopesIn(x, y, {});
  std::vector<double> out;
  for (const std::size_t place : places) {
    const auto at = kept.slopes.begin() + static_cast<std::ptrdiff_t>(place - kept.below);
    std::nth_element(kept.slopes.begin(), at, kept.slopes.end());
    out.push_back(*at);
  }
  return out;
}

}  // namespace afterscope
