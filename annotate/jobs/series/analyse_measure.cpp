// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/jobs/series/computed.hpp"
#include "metrics/series/checks.hpp"
#include "metrics/series/descriptive.hpp"
#include "metrics/series/quantiles.hpp"

#include <fmt/format.h>

#include <numeric>

namespace afterscope {
namespace {

// A trend takes time with the square of the cases; the latest so many are enough for one.
constexpr std::size_t kMostForTrend = 2000;

Computed<LearningCurve> LearningOf(const std::vector<double>& numbers, const std::vector<double>& values,
                                   const SeriesMeasure& measure, double level) {
  if (measure.unit != "s" && !measure.name.starts_with("path."))
    return {std::nullopt, "A learning curve is drawn for times and paths only."};
  if (numbers.size() != values.size())
    return {std::nullopt,
            "A learning curve is one person's: choose an operator whose cases are in order of date."};
  LearningCurveOptions options;
  options.level = level;
  return ComputedFrom(LearningCurveOf(numbers, values, options));
}

ControlChartOptions ChartOptions(const SeriesMeasure& measure) {
  ControlChartOptions options;
  if (measure.unit == "s" || measure.unit == "count" || measure.unit == "mm") options.not_below = 0.0;
  return options;
}

void AnalyseOverTime(SeriesMeasure& measure, const std::vector<double>& values,
                     const std::vector<double>& numbers, double level) {
  measure.run_chart = ComputedFrom(RunChartOf(values));
  measure.control_chart = ComputedFrom(IndividualsChart(values, ChartOptions(measure)));
  measure.learning = LearningOf(numbers, values, measure, level);
  measure.change = ComputedFrom(PettittChangePoint(values));
  const std::size_t first = values.size() > kMostForTrend ? values.size() - kMostForTrend : 0;
  const std::span<const double> latest = std::span<const double>(values).subspan(first);
  std::vector<double> order(latest.size());
  std::iota(order.begin(), order.end(), 1.0);
  measure.trend = ComputedFrom(TheilSenLine(order, latest, level));
  measure.direction = ComputedFrom(MannKendallTrend(latest));
  if (first > 0 && measure.trend.value)
    measure.trend.value->cautions.push_back(fmt::format("Of the latest {} cases.", kMostForTrend));
}

std::string UndatedReason(std::size_t undated, std::size_t cases) {
  return fmt::format("{} of {} cases {} no date, so nothing can be said over time.", undated, cases,
                     undated == 1 ? "has" : "have");
}

void RefuseOverTime(SeriesMeasure& measure, const std::string& reason) {
  measure.run_chart.reason = measure.control_chart.reason = measure.learning.reason = reason;
  measure.change.reason = measure.trend.reason = measure.direction.reason = reason;
}

}  // namespace

void AnalyseMeasure(SeriesMeasure& measure, const SeriesOrder& order, double level) {
  std::vector<double> values;
  for (const SeriesPoint& point : measure.points) values.push_back(point.value);
  measure.quartiles = ComputedFrom(QuartilesOf(values));
  measure.mean = ComputedFrom(Mean(values));
  measure.sd = ComputedFrom(StandardDeviation(values));
  if (order.undated > 0)
    RefuseOverTime(measure, UndatedReason(order.undated, values.size()));
  else if (values.size() > 1 && AllEqual(values))
    RefuseOverTime(measure, "All values are equal: nothing changes over the cases.");
  else
    AnalyseOverTime(measure, values, order.numbers, level);
}

}  // namespace afterscope
