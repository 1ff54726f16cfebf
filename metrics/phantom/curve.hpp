// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <utility>
#include <vector>

namespace afterscope::phantom {

// A value that changes smoothly (minimum jerk) from each key to the next and is constant before the first and
// after the last. Keys are added in order of time; 0 without keys.
class Curve {
 public:
  Curve() = default;
  explicit Curve(double value) { Key(0, value); }
  Curve& Key(double seconds, double value) {
    keys_.emplace_back(seconds, value);
    return *this;
  }
  // Stays at the last value until `start_s`, then reaches `value` at `end_s`.
  Curve& Move(double start_s, double end_s, double value) {
    if (!keys_.empty()) Key(start_s, keys_.back().second);
    return Key(end_s, value);
  }
  double At(double seconds) const;
  double last() const { return keys_.empty() ? 0 : keys_.back().second; }

 private:
  std::vector<std::pair<double, double>> keys_;
};

}  // namespace afterscope::phantom
