// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <cmath>

namespace afterscope {
namespace {

constexpr double kUsualP = 0.05;
constexpr int kFewCases = 6;  // fewer have no limits for a median at 95 % (metrics/series/quantiles.hpp)

std::string Amount(double value, const std::string& unit) {
  return unit == "s" ? FormatLength(value) : FormatEstimate({value, value, value}, unit).value;
}

std::string PText(double p) { return p < 0.001 ? "p < 0.001" : fmt::format("p = {:.3f}", p); }

std::string CountText(const SeriesMeasure& measure) {
  const std::size_t n = measure.points.size();
  if (n == 0) return "No case has this figure.";
  const std::string unit = measure.unit;
  if (n == 1) return fmt::format("One case: {}.", Amount(measure.points[0].value, unit));
  if (n < kFewCases)
    return fmt::format("Only {} cases: from {} to {}; too few for a spread or a trend.", n,
                       Amount(measure.quartiles.value->least, unit),
                       Amount(measure.quartiles.value->most, unit));
  const Quartiles& q = *measure.quartiles.value;
  if (q.least == q.most)
    return fmt::format("All {} cases have the same value, {}.", n, Amount(q.median, unit));
  return fmt::format("{} cases: half of them between {} and {}, median {}.", n, Amount(q.lower, unit),
                     Amount(q.upper, unit), Amount(q.median, unit));
}

std::string TrendText(const SeriesMeasure& measure) {
  if (measure.points.size() < kFewCases || !measure.trend.value || !measure.direction.value) return "";
  const Estimate& slope = measure.trend.value->slope;
  const double p = measure.direction.value->p;
  if (p >= kUsualP) return fmt::format("No trend beyond chance ({}).", PText(p));
  const auto size = [&](double value) { return Amount(std::fabs(10 * value), measure.unit); };
  const bool falls = slope.value < 0;
  return fmt::format("{} by {} in ten cases ({} to {}; {}).", falls ? "Falls" : "Rises", size(slope.value),
                     size(falls ? slope.high : slope.low), size(falls ? slope.low : slope.high), PText(p));
}

std::string ChangeText(const SeriesMeasure& measure) {
  if (!measure.change.value || measure.change.value->p >= kUsualP) return "";
  const ChangePoint& change = *measure.change.value;
  return fmt::format(
      "The level most likely changed after the first {} cases, from a median of {} to {} ({}).",
      change.last_before, Amount(change.median_before, measure.unit),
      Amount(change.median_after, measure.unit), PText(change.p));
}

std::string OthersText(const SeriesMeasure& measure) {
  std::string text;
  if (measure.shared > 0)
    text = fmt::format(
        "In {} of them others had the instruments for a part; only the operator's own visits "
        "count, so these times are not of the whole.",
        measure.shared);
  if (measure.by_others > 0)
    text += fmt::format("{}In {} further cases it was wholly someone else's and is left out.",
                        text.empty() ? "" : " ", measure.by_others);
  return text;
}

std::string ComparisonText(const SeriesComparison& comparison, const std::string& unit) {
  if (!comparison.difference.value || !comparison.test.value)
    return fmt::format("{} against {}: {}", comparison.group, comparison.reference,
                       comparison.difference.value ? comparison.test.reason : comparison.difference.reason);
  const Estimate& d = comparison.difference.value->difference;
  const auto signed_amount = [&](double v) {
    return fmt::format("{}{}", v < 0 ? "−" : "+", Amount(std::fabs(v), unit));
  };
  return fmt::format("{} against {}: {} ({} to {}; {}).", comparison.group, comparison.reference,
                     signed_amount(d.value), signed_amount(d.low), signed_amount(d.high),
                     PText(comparison.test.value->p));
}

}  // namespace

void DescribeMeasure(SeriesMeasure& measure) {
  const auto say = [&](std::string text) {
    if (!text.empty()) measure.said.push_back(std::move(text));
  };
  say(CountText(measure));
  say(OthersText(measure));
  if (measure.points.size() >= kFewCases && measure.run_chart.value && measure.run_chart.value->judged)
    say(measure.run_chart.value->words);
  say(TrendText(measure));
  if (measure.points.size() >= kFewCases && measure.learning.value) say(measure.learning.value->words);
  say(ChangeText(measure));
  for (const SeriesComparison& comparison : measure.comparisons)
    say(ComparisonText(comparison, measure.unit));
}

}  // namespace afterscope
