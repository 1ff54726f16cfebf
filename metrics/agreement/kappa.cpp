// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/kappa.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numeric>

namespace afterscope {
namespace {

constexpr auto kName = "Kappa";
constexpr double kFewCases = 30;

struct Margins {
  std::vector<double> a;  // shares of A's grades
  std::vector<double> b;
};

Margins MarginsOf(const GradeTable& t, double total) {
  Margins m{std::vector<double>(t.grades, 0.0), std::vector<double>(t.grades, 0.0)};
  for (std::size_t i = 0; i < t.grades; ++i)
    for (std::size_t j = 0; j < t.grades; ++j) {
      m.a[i] += t.At(i, j) / total;
      m.b[j] += t.At(i, j) / total;
    }
  return m;
}

Status CheckTable(const GradeTable& t, std::span<const double> disagreement) {
  if (t.grades < 2 || t.cells.size() != t.grades * t.grades)
    return NotComputable(kName, "it takes a square table of at least two grades");
  AFTERSCOPE_TRY(CheckValues(t.cells, 1, kName));
  if (*std::min_element(t.cells.begin(), t.cells.end()) < 0)
    return NotComputable(kName, "a count is below 0");
  if (!(t.Total() > 0)) return NotComputable(kName, "there are no cases that both reviewers graded");
  if (disagreement.size() != t.cells.size()) return NotComputable(kName, "the weights do not fit the grades");
  AFTERSCOPE_TRY(CheckValues(disagreement, 1, kName));
  const auto [least, most] = std::minmax_element(disagreement.begin(), disagreement.end());
  bool diagonal = true;
  for (std::size_t i = 0; i < t.grades; ++i) diagonal = diagonal && disagreement[i * t.grades + i] == 0;
  if (*least < 0 || !(*most > 0) || !diagonal)
    return NotComputable(kName, "the weights are not 0 for agreement and above 0 for disagreement");
  return {};
}

// Fleiss, Cohen & Everitt 1969, formula for a kappa that is not 0; agreement weights w = 1 - v / max v.
double StandardError(const GradeTable& t, const Margins& m, const std::vector<double>& w, const Kappa& k) {
  const double kappa = k.kappa.value;
  std::vector<double> row(t.grades, 0.0);
  std::vector<double> column(t.grades, 0.0);
  for (std::size_t i = 0; i < t.grades; ++i)
    for (std::size_t j = 0; j < t.grades; ++j) {
      row[i] += m.b[j] * w[i * t.grades + j];
      column[j] += m.a[i] * w[i * t.grades + j];
    }
  double sum = 0;
  for (std::size_t i = 0; i < t.grades; ++i)
    for (std::size_t j = 0; j < t.grades; ++j) {
      const double part = w[i * t.grades + j] - (row[i] + column[j]) * (1 - kappa);
      sum += t.At(i, j) / k.n * part * part;
    }
  const double rest = kappa - k.expected * (1 - kappa);
  return std::sqrt(std::max(0.0, sum - rest * rest) / k.n) / (1 - k.expected);
}

void AppendCautions(Kappa& k, const Margins& m) {
  const auto single = [](const std::vector<double>& shares) {
    return std::any_of(shares.begin(), shares.end(), [](double s) { return s == 1; });
  };
  if (single(m.a) || single(m.b))
    k.cautions.emplace_back(
        "One reviewer gave a single grade throughout: agreement beyond chance cannot show.");
  if (k.n < kFewCases) k.cautions.push_back(fmt::format("Only {:g} cases: the limits are rough.", k.n));
}

}  // namespace

double GradeTable::Total() const { return std::accumulate(cells.begin(), cells.end(), 0.0); }

Result<GradeTable> TabulateGrades(std::span<const int> a, std::span<const int> b, std::size_t grades) {
  if (a.size() != b.size())
    return NotComputable(kName, fmt::format("{} grades do not pair with {}", a.size(), b.size()));
  GradeTable table{grades, std::vector<double>(grades * grades, 0.0)};
  for (std::size_t i = 0; i < a.size(); ++i) {
    if (a[i] < 0 || b[i] < 0 || static_cast<std::size_t>(std::max(a[i], b[i])) >= grades)
      return NotComputable(kName, "a grade lies outside the scale");
    table.cells[static_cast<std::size_t>(a[i]) * grades + static_cast<std::size_t>(b[i])] += 1;
  }
  return table;
}

Result<Kappa> WeightedKappa(const GradeTable& table, std::span<const double> disagreement, double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_TRY(CheckTable(table, disagreement));
  const double most = *std::max_element(disagreement.begin(), disagreement.end());
  std::vector<double> agreement;
  for (const double v : disagreement) agreement.push_back(1 - v / most);

  Kappa out;
  out.n = table.Total();
  const Margins m = MarginsOf(table, out.n);
  double seen = 0;  // disagreement
  double chance = 0;
  for (std::size_t i = 0; i < table.grades; ++i)
    for (std::size_t j = 0; j < table.grades; ++j) {
      const double v = disagreement[i * table.grades + j] / most;
      seen += v * table.At(i, j) / out.n;
      chance += v * m.a[i] * m.b[j];
    }
  if (!(chance > 0)) return NotComputable(kName, "both reviewers gave one and the same grade throughout");
  out.observed = 1 - seen;
  out.expected = 1 - chance;
  out.kappa.value = 1 - seen / chance;
  out.standard_error = StandardError(table, m, agreement, out);
  const double half = NormalFactor(level) * out.standard_error;
  out.kappa.low = std::max(-1.0, out.kappa.value - half);
  out.kappa.high = std::min(1.0, out.kappa.value + half);
  out.kappa.level = level;
  out.method = "weighted kappa (Cohen 1968)";
  AppendCautions(out, m);
  return out;
}

Result<Kappa> CohenKappa(const GradeTable& table, KappaWeights weights, double level) {
  std::vector<double> disagreement;
  for (std::size_t i = 0; i < table.grades; ++i)
    for (std::size_t j = 0; j < table.grades; ++j) {
      const double distance = std::fabs(static_cast<double>(i) - static_cast<double>(j));
      disagreement.push_back(weights == KappaWeights::kEqual    ? (i == j ? 0 : 1)
                             : weights == KappaWeights::kLinear ? distance
                                                                : distance * distance);
    }
  AFTERSCOPE_ASSIGN(Kappa out, WeightedKappa(table, disagreement, level));
  out.method = weights == KappaWeights::kEqual    ? "kappa (Cohen 1960)"
               : weights == KappaWeights::kLinear ? "kappa with linear weights (Cohen 1968)"
                                                  : "kappa with quadratic weights (Cohen 1968)";
  return out;
}

}  // namespace afterscope
