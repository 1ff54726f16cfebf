// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/report/format.hpp"
#include "annotate/report/series/series_amount.hpp"
#include "annotate/report/series/series_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>

namespace afterscope {
namespace {

constexpr double kUsualP = 0.05;
constexpr std::size_t kFewCases =
    6;  // fewer have no limits for a median at 95 % (metrics/series/quantiles.hpp)
constexpr std::size_t kFewForTenCases = 10;  // fewer: what changes is said from case to case

bool AllEqual(const SeriesMeasure& measure) {
  return measure.quartiles.value && measure.quartiles.value->least == measure.quartiles.value->most;
}

bool HasTrend(const SeriesMeasure& measure) {
  return measure.trend.value && measure.direction.value && measure.direction.value->p < kUsualP;
}

bool HasChange(const SeriesMeasure& measure) {
  return measure.change.value && measure.change.value->p < kUsualP;
}

// A difference between groups, of any kind of test.
struct Difference {
  Estimate size;
  bool has_limits = true;
  double p = 1;
};

// What is said of one measure, in the words "series.said.*".
class Sentences {
 public:
  Sentences(SeriesMeasure& measure, const SeriesModel& model, const ReportWords& words)
      : measure_(measure), model_(model), words_(words) {}

  void Count();
  void Missing();
  void Others();
  void Share();
  void Runs();
  void Trend();
  void Learning();
  void Change();
  void Comparisons();
  void Latest();
  void Passage(const StepPassage& passage);
  void Legend();

 private:
  std::size_t Cases() const { return measure_.points.size(); }
  bool IsFew() const { return Cases() < kFewCases; }
  std::string Text(const char* key, std::initializer_list<std::string> values = {}) const {
    return SeriesText(words_, std::string("said.") + key, values);
  }
  void Say(const char* key, std::initializer_list<std::string> values = {}) { Add(Text(key, values)); }
  void Add(std::string text) {
    if (!text.empty()) measure_.said.push_back(std::move(text));
  }
  void SayCount(const char* one, const char* many, int count);
  std::string Of(double value) const { return SeriesAmount(measure_, value); }
  std::string Size(double value) const { return Of(std::fabs(value)); }
  std::string Signed(double value) const;
  std::string P(double p) const;
  std::string DifferenceText(const Difference& difference) const;
  std::string AdjustedText(const SeriesComparison& comparison) const;

  SeriesMeasure& measure_;
  const SeriesModel& model_;
  const ReportWords& words_;
};

std::string CountText(std::size_t count) { return fmt::format("{}", count); }

// With a real minus, and none before a nought.
std::string SignedNumber(const std::string& number) {
  if (number == "-0") return "0";
  return number.starts_with('-') ? "\u2212" + number.substr(1) : number;
}

std::string Sentences::P(double p) const {
  return p < 0.001 ? Text("p_small") : Text("p", {fmt::format("{:.3f}", p)});
}

// With its sign, but none where it reads as nothing.
std::string Sentences::Signed(double value) const {
  std::string size = Size(value);
  if (size == Of(0)) return size;
  return (value < 0 ? "\u2212" : "+") + size;
}

void Sentences::SayCount(const char* one, const char* many, int count) {
  if (count == 1) Say(one);
  if (count > 1) Say(many, {fmt::format("{}", count)});
}

void Sentences::Count() {
  const std::size_t n = Cases();
  if (n == 0) return Say("none");
  if (n == 1) return Say("one", {Of(measure_.points[0].value)});
  const Quartiles& q = *measure_.quartiles.value;
  if (AllEqual(measure_)) return Say(IsFew() ? "few_same" : "same", {CountText(n), Of(q.median)});
  if (IsFew()) return Say("few", {CountText(n), Of(q.least), Of(q.most)});
  Say("spread", {CountText(n), Of(q.lower), Of(q.upper), Of(q.median)});
}

void Sentences::Missing() {
  if (Cases() > 0) SayCount("missing_one", "missing", measure_.missing);
}

// What is of the whole operation holds the parts of others too, and a share is no time.
void Sentences::Others() {
  if (measure_.name == "time.step_total") SayCount("shared_one", "shared", measure_.shared);
  SayCount("by_others_one", "by_others", measure_.by_others);
}

void Sentences::Share() {
  if (!measure_.share.value || IsFew()) return;
  const std::string median = FormatShare(measure_.share.value->median);
  const std::string lower = FormatShare(measure_.share.value->lower);
  const std::string upper = FormatShare(measure_.share.value->upper);
  if (lower == upper) return Say("share_same", {median});
  Say("share", {median, lower, upper});
}

// One level is not claimed where a trend or a change of level is.
void Sentences::Runs() {
  if (IsFew() || !measure_.run_chart.value || !measure_.run_chart.value->judged) return;
  const RunChart& run = *measure_.run_chart.value;
  if (run.longest_run > run.longest_usual) return Say("level_shifted", {CountText(run.longest_run)});
  if (run.shift) return Say("level_drifts");
  if (!HasTrend(measure_) && !HasChange(measure_)) Say("one_level");
}

void Sentences::Trend() {
  if (IsFew() || AllEqual(measure_) || !measure_.trend.value || !measure_.direction.value) return;
  const std::string p = P(measure_.direction.value->p);
  if (!HasTrend(measure_)) return Say("no_trend", {p});
  const TheilSen& trend = *measure_.trend.value;
  const bool falls = trend.slope.value < 0;
  const bool few = Cases() < kFewForTenCases;
  const double times = few ? 1 : 10;
  const std::string size = Size(times * trend.slope.value);
  if (!trend.has_limits) return Say(falls ? "falls_each_few" : "rises_each_few", {size, p});
  const std::string low = Size(times * (falls ? trend.slope.high : trend.slope.low));
  const std::string high = Size(times * (falls ? trend.slope.low : trend.slope.high));
  if (few) return Say(falls ? "falls_each" : "rises_each", {size, low, high, p});
  Say(falls ? "falls" : "rises", {size, low, high, p});
}

// Less is told as such: a lower limit on the other side of no change shows by its sign.
void Sentences::Learning() {
  if (IsFew() || AllEqual(measure_) || !measure_.learning.value) return;
  const LearningCurve& learning = *measure_.learning.value;
  if (learning.verdict == LearningVerdict::kTooFewCases)
    return Say("learning_few", {CountText(learning.n), CountText(learning.fewest_cases)});
  if (learning.verdict == LearningVerdict::kNoChange) return Say("learning_none", {CountText(learning.n)});
  const Estimate& ratio = learning.curve->ratio_per_doubling;
  const auto percent = [](double change) { return SignedNumber(fmt::format("{:.0f}", 100 * change)); };
  if (learning.verdict == LearningVerdict::kFalling)
    return Say("learning_falls", {percent(1 - ratio.value), percent(1 - ratio.high), percent(1 - ratio.low)});
  Say("learning_rises", {percent(ratio.value - 1), percent(ratio.low - 1), percent(ratio.high - 1)});
}

// Under a trend a change of level always shows: it may be the same thing.
void Sentences::Change() {
  if (!HasChange(measure_)) return;
  const ChangePoint& change = *measure_.change.value;
  Say(HasTrend(measure_) ? "change_or_trend" : "change",
      {CountText(change.last_before), Of(change.median_before), Of(change.median_after), P(change.p)});
}

// "−12.0 s (−20.1 s to −3.4 s; p = 0.004)"
std::string Sentences::DifferenceText(const Difference& d) const {
  if (!d.has_limits) return Text("difference_few", {Signed(d.size.value), P(d.p)});
  const std::string low = Signed(d.size.low);
  const std::string high = Signed(d.size.high);
  if (low == high) return Text("difference_ties", {Signed(d.size.value), P(d.p)});
  return Text("difference", {Signed(d.size.value), low, high, P(d.p)});
}

// Says nothing where all cases are of one difficulty: then it is the same comparison.
std::string Sentences::AdjustedText(const SeriesComparison& c) const {
  if (!c.adjusted.value)
    return c.adjusted.reason.empty() ? std::string() : Text("not_adjusted", {c.adjusted.reason});
  const StratifiedDifference& adjusted = *c.adjusted.value;
  if (adjusted.strata == 1 && adjusted.left_out == 0) return {};
  return Text("adjusted", {DifferenceText({adjusted.difference, adjusted.has_limits, adjusted.p})});
}

// As the cases are, and each only with cases of its own difficulty.
void Sentences::Comparisons() {
  for (const SeriesComparison& c : measure_.comparisons) {
    const bool computed = c.difference.value && c.test.value;
    const std::string text = computed ? DifferenceText({c.difference.value->difference,
                                                        c.difference.value->has_limits, c.test.value->p}) +
                                            "."
                             : c.difference.value ? c.test.reason
                                                  : c.difference.reason;
    Add(Text("against", {c.group, c.reference, text}) + (computed ? AdjustedText(c) : std::string()));
  }
}

void Sentences::Latest() {
  if (!measure_.latest.value || measure_.latest.value->n < kFewCases || AllEqual(measure_)) return;
  const Estimate& rank = measure_.latest.value->percentile;
  const std::string value = Of(measure_.points.back().value);
  const auto percent = [](double of_hundred) { return fmt::format("{:.0f}", of_hundred); };
  if (measure_.comparisons.empty())
    return Say("latest", {value, percent(rank.value), percent(rank.low), percent(rank.high)});
  Say("latest_in_group", {value, percent(rank.value), measure_.comparisons.front().reference,
                          percent(rank.low), percent(rank.high)});
}

void Sentences::Passage(const StepPassage& passage) {
  const std::string& next = model_.step_names.at(passage.to);
  if (passage.gap_s)
    Say("followed_gap", {next, FormatShare(passage.share), FormatLength(passage.gap_s->median)});
  else
    Say("followed", {next, FormatShare(passage.share)});
}

// One case is told in words.
void Sentences::Legend() {
  if (Cases() > 1) measure_.legend = SeriesText(words_, IsFew() ? "charts.legend_few" : "charts.legend");
}

}  // namespace

void DescribeMeasure(SeriesMeasure& measure, const SeriesModel& model, const ReportWords& words) {
  Sentences say(measure, model, words);
  say.Count();
  say.Missing();
  say.Others();
  say.Share();
  say.Runs();
  say.Trend();
  say.Learning();
  say.Change();
  say.Comparisons();
  say.Latest();
  say.Legend();
}

// The most frequent way on from each step; passages come the most frequent first.
void DescribePassages(SeriesModel& model, const ReportWords& words) {
  for (SeriesMeasure& measure : model.measures) {
    if (measure.name != "time.step_total" || measure.points.size() < kFewCases) continue;
    const auto next = std::find_if(model.passages.begin(), model.passages.end(),
                                   [&](const StepPassage& passage) { return passage.from == measure.step; });
    if (next != model.passages.end() && !next->to.empty()) Sentences(measure, model, words).Passage(*next);
  }
}

}  // namespace afterscope
