// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/kappa.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"
#include "metrics/series/proportion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <set>

namespace afterscope {
namespace {

constexpr auto kKappaName = "Kappa";
constexpr auto kNothingGraded = "there are no cases that both reviewers graded";
constexpr auto kOneGrade = "both reviewers gave one and the same grade throughout";
constexpr double kFewCases = 30;
constexpr double kMostCounted = 1e9;
constexpr double kNoError = 1e-7;  // a standard error below it is rounding

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
    return NotComputable(kKappaName, "it takes a square table of at least two grades");
  AFTERSCOPE_TRY(CheckValues(t.cells, 1, kKappaName));
  if (*std::min_element(t.cells.begin(), t.cells.end()) < 0)
    return NotComputable(kKappaName, "a count is below 0");
  if (!(t.Total() > 0)) return NotComputable(kKappaName, kNothingGraded);
  if (disagreement.size() != t.cells.size())
    return NotComputable(kKappaName, "the weights do not fit the grades");
  AFTERSCOPE_TRY(CheckValues(disagreement, 1, kKappaName));
  const auto [least, most] = std::minmax_element(disagreement.begin(), disagreement.end());
  bool diagonal = true;
  for (std::size_t i = 0; i < t.grades; ++i) diagonal = diagonal && disagreement[i * t.grades + i] == 0;
  if (*least < 0 || !(*most > 0) || !diagonal)
    return NotComputable(kKappaName, "the weights are not 0 for agreement and above 0 for disagreement");
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

bool IsCount(double n) { return n == std::floor(n) && n < kMostCounted; }

// `seen` and `chance`: weighted disagreement, of at most 1.
Status FillLimits(Kappa& k, double seen, double chance) {
  const double value = k.kappa.value;
  k.kappa.low = k.kappa.high = value;
  if (seen == 0 && IsCount(k.n)) {
    AFTERSCOPE_ASSIGN(const Estimate unseen,
                      ClopperPearsonProportion(0, static_cast<std::int64_t>(k.n), k.kappa.level));
    k.kappa.low = std::max(-1.0, 1 - unseen.high / chance);
    k.cautions.push_back(
        fmt::format("No disagreement was seen: the lower limit is kappa if as many as {:.0f} % had differed, "
                    "as widely as they can.",
                    100 * unseen.high));
    return {};
  }
  if (k.standard_error < kNoError) {
    k.has_limits = false;
    k.cautions.emplace_back("These grades give no limits.");
    return {};
  }
  const double half = NormalFactor(k.kappa.level) * k.standard_error;
  k.kappa.low = std::max(-1.0, value - half);
  k.kappa.high = std::min(1.0, value + half);
  return {};
}

void AppendCautions(Kappa& k, const Margins& m) {
  const auto single = [](const std::vector<double>& shares) {
    return std::any_of(shares.begin(), shares.end(), [](double s) { return s == 1; });
  };
  if (single(m.a) || single(m.b))
    k.cautions.emplace_back(
        "One reviewer gave a single grade throughout: agreement beyond chance cannot show.");
  if (k.n < kFewCases)
    k.cautions.push_back(fmt::format("Only {:g} pairs of grades: the limits are rough.", k.n));
}

}  // namespace

double GradeTable::Total() const { return std::accumulate(cells.begin(), cells.end(), 0.0); }

Result<GradeTable> TabulateGrades(std::span<const int> a, std::span<const int> b, std::size_t grades) {
  if (a.size() != b.size())
    return NotComputable(kKappaName, fmt::format("{} grades do not pair with {}", a.size(), b.size()));
  GradeTable table{grades, std::vector<double>(grades * grades, 0.0)};
  for (std::size_t i = 0; i < a.size(); ++i) {
    if (a[i] < 0 || b[i] < 0 || static_cast<std::size_t>(std::max(a[i], b[i])) >= grades)
      return NotComputable(kKappaName, "a grade lies outside the scale");
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
  if (!(chance > 0)) return NotComputable(kKappaName, kOneGrade);
  out.observed = 1 - seen;
  out.expected = 1 - chance;
  out.kappa.value = 1 - seen / chance;
  out.standard_error = StandardError(table, m, agreement, out);
  out.kappa.level = level;
  out.method = "weighted kappa (Cohen 1968)";
  AppendCautions(out, m);
  AFTERSCOPE_TRY(FillLimits(out, seen, chance));
  return out;
}

namespace {

// The grades lie at `places`; how far they lie apart is what a disagreement weighs.
Result<Kappa> WithWeights(const GradeTable& table, const std::vector<double>& places, KappaWeights weights,
                          double level) {
  std::vector<double> disagreement;
  for (const double a : places)
    for (const double b : places) {
      const double distance = std::fabs(a - b);
      disagreement.push_back(weights == KappaWeights::kEqual    ? (distance == 0 ? 0 : 1)
                             : weights == KappaWeights::kLinear ? distance
                                                                : distance * distance);
    }
  AFTERSCOPE_ASSIGN(Kappa out, WeightedKappa(table, disagreement, level));
  out.method = weights == KappaWeights::kEqual    ? "kappa (Cohen 1960)"
               : weights == KappaWeights::kLinear ? "kappa with linear weights (Cohen 1968)"
                                                  : "kappa with quadratic weights (Cohen 1968)";
  return out;
}

}  // namespace

Result<Kappa> KappaOfScores(std::span<const double> a, std::span<const double> b, KappaWeights weights,
                            double level) {
  AFTERSCOPE_TRY(CheckPairs(a, b, 0, kKappaName));
  std::set<double> known(a.begin(), a.end());
  known.insert(b.begin(), b.end());
  const std::vector<double> values(known.begin(), known.end());
  if (values.empty()) return NotComputable(kKappaName, kNothingGraded);
  if (values.size() == 1) return NotComputable(kKappaName, kOneGrade);
  const auto grades = [&](std::span<const double> scores) {
    std::vector<int> out;
    for (const double score : scores)
      out.push_back(static_cast<int>(std::lower_bound(values.begin(), values.end(), score) - values.begin()));
    return out;
  };
  AFTERSCOPE_ASSIGN(const GradeTable table, TabulateGrades(grades(a), grades(b), values.size()));
  return WithWeights(table, values, weights, level);
}

Result<Kappa> CohenKappa(const GradeTable& table, KappaWeights weights, double level) {
  std::vector<double> places(table.grades);
  std::iota(places.begin(), places.end(), 0.0);
  return WithWeights(table, places, weights, level);
}

}  // namespace afterscope
