// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/estimate.hpp"

#include <map>
#include <optional>
#include <random>
#include <string>
#include <vector>

// For simulated reviews of eyes that are known: how often do the stated limits hold the truth?
namespace afterscope::coverage {

using RandomBits = std::mt19937_64;
double Normal(RandomBits& random, double mean, double sd);
double Even(RandomBits& random, double low, double high);

// Reviews in the default suite, and in the hidden tests ([.coverage]), which are what counts.
constexpr int kFew = 100, kMany = 2000;

// How many limits hold the truth, by finding.
class Tally {
 public:
  // `e` empty: not computed, counted apart.
  void Add(const std::string& name, const std::optional<Estimate>& e, double truth);
  // The same for directions: limits may pass the end of the range, which has that length.
  void AddRound(const std::string& name, const std::optional<Estimate>& e, double truth, double period);

  // The findings whose limits do not hold the truth as often as they must, a line each; empty: all do.
  // Continuous ones: 93 to 97 %; counts, extremes, and shares that may be 0 or 1: 93 % or more. With fewer
  // than kMany values the bounds are wider by four standard deviations of such a sample.
  std::string OutsideContinuous(const std::vector<std::string>& names) const { return Outside(names, 0.97); }
  std::string BelowLeast(const std::vector<std::string>& names) const { return Outside(names, 1); }
  // A line a finding: share held, share of limits that lie too low, mean of value - truth and of half widths.
  std::string Text() const;

 private:
  struct Row {
    int held = 0, below = 0, count = 0, none = 0;
    double off = 0, half = 0;
  };
  std::string Outside(const std::vector<std::string>& names, double most) const;
  static std::string Line(const std::string& name, const Row& row);
  std::map<std::string, Row> rows_;
};

}  // namespace afterscope::coverage
