// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr double kUsualP = 0.05;
constexpr std::size_t kFewCases =
    6;  // fewer have no limits for a median at 95 % (metrics/series/quantiles.hpp)

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

bool AllEqual(const SeriesMeasure& measure) {
  return measure.quartiles.value && measure.quartiles.value->least == measure.quartiles.value->most;
}

bool HasTrend(const SeriesMeasure& measure) {
  return measure.trend.value && measure.direction.value && measure.direction.value->p < kUsualP;
}

bool HasChange(const SeriesMeasure& measure) {
  return measure.change.value && measure.change.value->p < kUsualP;
}

// One level is not claimed where a trend or a change of level is.
std::string RunText(const SeriesMeasure& measure) {
  if (measure.points.size() < kFewCases || !measure.run_chart.value || !measure.run_chart.value->judged)
    return "";
  const bool moves = HasTrend(measure) || HasChange(measure);
  return measure.run_chart.value->shift || !moves ? measure.run_chart.value->words : "";
}

std::string ShareText(const SeriesMeasure& measure) {
  if (!measure.share.value || measure.points.size() < kFewCases) return "";
  const Quartiles& share = *measure.share.value;
  return fmt::format("It takes {} of the operator's own step time (middle half {} to {}).",
                     FormatShare(share.median), FormatShare(share.lower), FormatShare(share.upper));
}

std::string TrendText(const SeriesMeasure& measure) {
  if (measure.points.size() < kFewCases || AllEqual(measure) || !measure.trend.value ||
      !measure.direction.value)
    return "";
  const Estimate& slope = measure.trend.value->slope;
  const double p = measure.direction.value->p;
  if (p >= kUsualP) return fmt::format("No trend beyond chance ({}).", PText(p));
  const auto size = [&](double value) { return Amount(std::fabs(10 * value), measure.unit); };
  const bool falls = slope.value < 0;
  return fmt::format("{} by {} in ten cases ({} to {}; {}).", falls ? "Falls" : "Rises", size(slope.value),
                     size(falls ? slope.high : slope.low), size(falls ? slope.low : slope.high), PText(p));
}

std::string ChangeText(const SeriesMeasure& measure) {
  if (!HasChange(measure)) return "";
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
    text += fmt::format("{}In {} further case{} it was wholly someone else's and is left out.",
                        text.empty() ? "" : " ", measure.by_others, measure.by_others == 1 ? "" : "s");
  return text;
}

// "−12.0 s (−20.1 s to −3.4 s; p = 0.004)"
std::string DifferenceText(const Estimate& d, double p, const std::string& unit) {
  const auto signed_amount = [&](double v) {
    return fmt::format("{}{}", v < 0 ? "−" : "+", Amount(std::fabs(v), unit));
  };
  return fmt::format("{} ({} to {}; {})", signed_amount(d.value), signed_amount(d.low), signed_amount(d.high),
                     PText(p));
}

// As the cases are, and each only with cases of its own difficulty.
std::string ComparisonText(const SeriesComparison& c, const std::string& unit) {
  std::string text = fmt::format("{} against {}: ", c.group, c.reference);
  if (!c.difference.value || !c.test.value)
    return text + (c.difference.value ? c.test.reason : c.difference.reason);
  text += DifferenceText(c.difference.value->difference, c.test.value->p, unit) + ".";
  if (c.adjusted.value)
    text += fmt::format(" Within the same difficulty: {}.",
                        DifferenceText(c.adjusted.value->difference, c.adjusted.value->p, unit));
  else if (!c.adjusted.reason.empty())
    text += fmt::format(" Not adjusted for difficulty: {}", c.adjusted.reason);
  return text;
}

std::string LatestText(const SeriesMeasure& measure) {
  if (!measure.latest.value || measure.latest.value->n < kFewCases || AllEqual(measure)) return "";
  const Estimate& rank = measure.latest.value->percentile;
  const std::string others = measure.comparisons.empty() ? "the other cases"
                                                         : fmt::format("the reference group, {},",
                                                                       measure.comparisons.front().reference);
  return fmt::format("The latest case, {}: {:.0f} % of {} lie below it ({:.0f} to {:.0f} %).",
                     Amount(measure.points.back().value, measure.unit), rank.value, others, rank.low,
                     rank.high);
}

}  // namespace

void DescribeMeasure(SeriesMeasure& measure) {
  const auto say = [&](std::string text) {
    if (!text.empty()) measure.said.push_back(std::move(text));
  };
  say(CountText(measure));
  say(OthersText(measure));
  say(ShareText(measure));
  say(RunText(measure));
  say(TrendText(measure));
  if (measure.points.size() >= kFewCases && !AllEqual(measure) && measure.learning.value)
    say(measure.learning.value->words);
  say(ChangeText(measure));
  for (const SeriesComparison& comparison : measure.comparisons)
    say(ComparisonText(comparison, measure.unit));
  say(LatestText(measure));
}

// The most frequent way on from each step; passages come the most frequent first.
void DescribePassages(SeriesModel& model) {
  for (SeriesMeasure& measure : model.measures) {
    if (measure.name != "time.step_total" || measure.points.size() < kFewCases) continue;
    const auto next = std::find_if(model.passages.begin(), model.passages.end(),
                                   [&](const StepPassage& passage) { return passage.from == measure.step; });
    if (next == model.passages.end() || next->to.empty()) continue;
    measure.said.push_back(fmt::format(
        "Mostly followed by {} ({} of the times{}).", model.step_names.at(next->to), FormatShare(next->share),
        next->gap_s ? ", median gap " + FormatLength(next->gap_s->median) : ""));
  }
}

}  // namespace afterscope
