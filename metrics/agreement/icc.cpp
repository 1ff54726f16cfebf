// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/icc.hpp"

#include "metrics/series/checks.hpp"
#include "metrics/series/distribution.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace afterscope {
namespace {

constexpr auto kIccName = "The intraclass correlation";
constexpr std::size_t kFewRated = 10;
constexpr double kRounding = 1e-24;  // share of the largest square that is rounding, not variance

struct Limits {
  double value = 0;
  double low = 0;
  double high = 0;
};

// ICC of one reviewer from F = (between) / (error), with limits through those of F.
Limits FromF(double f, double df1, double df2, double k, double level) {
  const double tail = 1 - (1 - level) / 2;
  const auto icc = [k](double ratio) { return (ratio - 1) / (ratio + k - 1); };
  if (std::isinf(f)) return {1, 1, 1};
  return {icc(f), icc(f / FQuantile(tail, df1, df2)), icc(f * FQuantile(tail, df2, df1))};
}

// Absolute agreement; multiplied out so that no error at all (e = 0) divides nothing.
Limits Agreement(const ScoreSquares& s, double level) {
  const double n = static_cast<double>(s.cases);
  const double k = static_cast<double>(s.reviewers);
  const double b = s.between_cases;
  const double j = s.reviewers_ms;
  const double e = s.error;
  const double icc = (b - e) / (b + (k - 1) * e + k * (j - e) / n);
  if (j == 0 && e == 0) return {1, 1, 1};
  const double rest = e * (n * (1 + (k - 1) * icc) - k * icc);
  const double whole = k * icc * j + rest;
  const double v = (k - 1) * (n - 1) * whole * whole / ((n - 1) * k * k * icc * icc * j * j + rest * rest);
  if (!(v > 0)) return {icc, -1 / (k - 1), 1};
  const double tail = 1 - (1 - level) / 2;
  const double upper_f = FQuantile(tail, n - 1, v);
  const double lower_f = FQuantile(tail, v, n - 1);
  const double others = k * j + (k * n - k - n) * e;
  return {icc, n * (b - upper_f * e) / (upper_f * others + n * b),
          n * (lower_f * b - e) / (others + n * lower_f * b)};
}

Limits Single(const ScoreSquares& s, const Icc& icc, double level) {
  if (icc.form == IccForm::kAgreementSingle || icc.form == IccForm::kAgreementAverage)
    return Agreement(s, level);
  return FromF(icc.f, icc.df1, icc.df2, static_cast<double>(s.reviewers), level);
}

bool OneWay(IccForm form) { return form == IccForm::kOneWaySingle || form == IccForm::kOneWayAverage; }

bool Average(IccForm form) { return form >= IccForm::kOneWayAverage; }

const char* Method(IccForm form) {
  switch (form) {
    case IccForm::kOneWaySingle:
      return "ICC(1,1), one-way, single reviewer";
    case IccForm::kAgreementSingle:
      return "ICC(2,1), absolute agreement, single reviewer";
    case IccForm::kConsistencySingle:
      return "ICC(3,1), consistency, single reviewer";
    case IccForm::kOneWayAverage:
      return "ICC(1,k), one-way, mean of reviewers";
    case IccForm::kAgreementAverage:
      return "ICC(2,k), absolute agreement, mean of reviewers";
    case IccForm::kConsistencyAverage:
      return "ICC(3,k), consistency, mean of reviewers";
  }
  return "";
}

// Sums of squares, not yet divided by their degrees.
ScoreSquares SumSquares(std::span<const double> scores, std::size_t n, std::size_t k) {
  std::vector<double> rows(n, 0.0);
  std::vector<double> columns(k, 0.0);
  double grand = 0;
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = 0; j < k; ++j) {
      rows[i] += scores[i * k + j] / static_cast<double>(k);
      columns[j] += scores[i * k + j] / static_cast<double>(n);
      grand += scores[i * k + j] / static_cast<double>(n * k);
    }
  ScoreSquares s{n, k};
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = 0; j < k; ++j) {
      const double score = scores[i * k + j];
      s.between_cases += (rows[i] - grand) * (rows[i] - grand);
      s.reviewers_ms += (columns[j] - grand) * (columns[j] - grand);
      s.within_cases += (score - rows[i]) * (score - rows[i]);
      s.error += std::pow(score - rows[i] - columns[j] + grand, 2);
    }
  return s;
}

}  // namespace

Result<ScoreSquares> ScoreSquaresOf(std::span<const double> scores, std::size_t reviewers) {
  if (reviewers < 2) return NotComputable(kIccName, "fewer than two reviewers");
  if (scores.size() % reviewers != 0)
    return NotComputable(kIccName, "not every reviewer has scored every case");
  AFTERSCOPE_TRY(CheckValues(scores, 0, kIccName));
  const std::size_t cases = scores.size() / reviewers;
  if (cases < 2) return NotComputable(kIccName, "fewer than two cases");
  if (AllEqual(scores)) return NotComputable(kIccName, "all scores are equal");
  ScoreSquares s = SumSquares(scores, cases, reviewers);
  double largest = 0;
  for (const double score : scores) largest = std::max(largest, score * score);
  const double floor = kRounding * largest * static_cast<double>(scores.size());
  for (double* sum : {&s.between_cases, &s.within_cases, &s.reviewers_ms, &s.error})
    if (*sum < floor) *sum = 0;
  const double n = static_cast<double>(cases);
  const double k = static_cast<double>(reviewers);
  s.between_cases /= n - 1;
  s.within_cases /= n * (k - 1);
  s.reviewers_ms /= k - 1;
  s.error /= (n - 1) * (k - 1);
  return s;
}

Result<Icc> IntraclassCorrelation(std::span<const double> scores, std::size_t reviewers, IccForm form,
                                  double level) {
  AFTERSCOPE_TRY(CheckLevel(level));
  AFTERSCOPE_ASSIGN(const ScoreSquares s, ScoreSquaresOf(scores, reviewers));
  const double n = static_cast<double>(s.cases);
  const double k = static_cast<double>(s.reviewers);
  const double noise = OneWay(form) ? s.within_cases : s.error;
  if (s.between_cases == 0 && (Average(form) || noise == 0))
    return NotComputable(kIccName, "the cases do not differ in the reviewers' means");

  Icc out;
  out.form = form;
  out.f = noise > 0 ? s.between_cases / noise : std::numeric_limits<double>::infinity();
  out.df1 = n - 1;
  out.df2 = OneWay(form) ? n * (k - 1) : (n - 1) * (k - 1);
  out.p = noise > 0 ? UpperFP(out.f, out.df1, out.df2) : 0;
  const Limits single = Single(s, out, level);
  const auto step_up = [k](double icc) { return k * icc / (1 + (k - 1) * icc); };
  out.icc = Average(form) ? Estimate{step_up(single.value), step_up(single.low), step_up(single.high), level}
                          : Estimate{single.value, single.low, single.high, level};
  out.method = Method(form);
  out.has_limits = single.low < single.high;
  if (!out.has_limits)
    out.cautions.emplace_back("The reviewers differ in nothing that counts here: no limits can be given.");
  else if (s.cases < kFewRated)
    out.cautions.push_back(fmt::format("Only {} were rated: the limits are wide.", s.cases));
  return out;
}

}  // namespace afterscope
