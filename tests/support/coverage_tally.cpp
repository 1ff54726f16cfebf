// SPDX-License-Identifier: Apache-2.0
#include "tests/support/coverage_tally.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope::coverage {

double Normal(RandomBits& random, double mean, double sd) {
  return std::normal_distribution<double>(mean, sd)(random);
}
double Even(RandomBits& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}

void Tally::Add(const std::string& name, const std::optional<Estimate>& e, double truth) {
  Row& row = rows_[name];
  if (!e) {
    ++row.none;
    return;
  }
  const double slack = 1e-9 * std::max(1.0, std::abs(truth));
  ++row.count;
  row.held += e->low - slack <= truth && truth <= e->high + slack;
  row.below += e->high + slack < truth;
  row.off += e->value - truth;
  row.half += (e->high - e->low) / 2;
}

void Tally::AddRound(const std::string& name, const std::optional<Estimate>& e, double truth, double period) {
  Add(name, e, e ? truth + period * std::round((e->value - truth) / period) : truth);
}

std::string Tally::Line(const std::string& name, const Row& row) {
  const double n = std::max(row.count, 1);
  const std::string none = row.none > 0 ? fmt::format(", {} not computed", row.none) : std::string();
  return fmt::format(
      "{:<44} {:>5.1f} % of {:>5} ({:>4.1f} % too low), off {:>10.3g}, half width {:>9.3g}{}\n", name,
      100 * row.held / n, row.count, 100 * row.below / n, row.off / n, row.half / n, none);
}

std::string Tally::Outside(const std::vector<std::string>& names, double most) const {
  std::string out;
  for (const std::string& name : names) {
    const auto found = rows_.find(name);
    if (found == rows_.end() || found->second.count == 0) {
      out += name + ": no value\n";
      continue;
    }
    const Row& row = found->second;
    const double share = static_cast<double>(row.held) / row.count;
    const double wider = row.count >= kMany ? 0 : 4 * std::sqrt(0.95 * 0.05 / row.count);
    if (share < 0.93 - wider || share > most + wider) out += Line(name, row);
  }
  return out;
}

std::string Tally::Text() const {
  std::string out;
  for (const auto& [name, row] : rows_) out += Line(name, row);
  return out;
}

}  // namespace afterscope::coverage
