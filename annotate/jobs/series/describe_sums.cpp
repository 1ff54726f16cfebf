// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/report/series/series_report.hpp"

#include <fmt/format.h>

#include <string>

namespace afterscope {
namespace {

std::string Percent(double share) { return fmt::format("{:g}", 100 * share); }

std::string CaseNumber(const CusumChart& chart) { return fmt::format("{}", *chart.latest_case + 1); }

// What is said of one sum, in the words "series.sum.*".
class SumSentences {
 public:
  SumSentences(const SeriesCusum& cusum, const ReportWords& words) : cusum_(cusum), words_(words) {}

  std::string Sequential(const CusumChart& chart) const;
  std::string SequentialDesigned() const;
  // Of a sum that looks for more failures than `rate`, a text; it passes over some of the cases.
  std::string Likelihood(const CusumChart& chart, const std::string& rate, int passed_over = 0) const;
  std::string PassedOver() const;
  std::string Limit(const CusumChart& chart, const CusumLimit& limit) const;
  std::string Text(const char* key, std::initializer_list<std::string> values = {}) const {
    return SeriesText(words_, std::string("sum.") + key, values);
  }

 private:
  std::string Counted(const CusumChart& chart, int passed_over = 0) const {
    const int n = static_cast<int>(chart.points.size()) - passed_over;
    return n == 1 ? Text("one_case") : Text("cases", {fmt::format("{}", n)});
  }

  const SeriesCusum& cusum_;
  const ReportWords& words_;
};

std::string SumSentences::Sequential(const CusumChart& chart) const {
  const SequentialDesign& design = cusum_.plan.design;
  const std::string acceptable = Percent(design.acceptable);
  const std::string unacceptable = Percent(design.unacceptable);
  if (chart.latest == CusumSignal::kWorse)
    return Text("sequential.too_many", {CaseNumber(chart), acceptable});
  if (chart.latest == CusumSignal::kAcceptable)
    return Text("sequential.acceptable", {CaseNumber(chart), unacceptable});
  const auto limits = SequentialLimitsOf(design);
  const int least = limits.ok() ? limits->successes_to_acceptable : 0;
  const bool few = static_cast<int>(chart.points.size()) < least;
  return Text(few ? "sequential.open_few" : "sequential.open",
              {Counted(chart), acceptable, unacceptable, fmt::format("{}", least)});
}

std::string SumSentences::SequentialDesigned() const {
  const SequentialDesign& design = cusum_.plan.design;
  const auto limits = SequentialLimitsOf(design);
  if (!limits.ok()) return {};
  const auto weight = [](double value) { return fmt::format("{:.4f}", value); };
  const auto limit = [](double value) { return fmt::format("{:.3f}", value); };
  return Text("sequential.design", {Percent(design.acceptable), Percent(design.unacceptable),
                                    weight(1 - limits->s), weight(limits->s), limit(limits->unacceptable),
                                    Percent(design.alpha), limit(limits->acceptable), Percent(design.beta)});
}

std::string SumSentences::Likelihood(const CusumChart& chart, const std::string& rate,
                                     int passed_over) const {
  if (chart.latest == CusumSignal::kNone) return Text("no_change", {rate, Counted(chart, passed_over)});
  return Text("too_many", {CaseNumber(chart), rate});
}

// What the adjusted sum leaves out, after a blank.
std::string SumSentences::PassedOver() const {
  if (cusum_.without_risk == 0) return {};
  const std::string failures = fmt::format("{}", cusum_.failures_without);
  return fmt::format(" {}",
                     cusum_.without_risk == 1
                         ? Text("adjusted.without_one", {failures})
                         : Text("adjusted.without", {fmt::format("{}", cusum_.without_risk), failures}));
}

std::string SumSentences::Limit(const CusumChart& chart, const CusumLimit& limit) const {
  return Text("limit", {fmt::format("{:.3f}", chart.upper.value_or(0)), Percent(limit.false_signal),
                        fmt::format("{}", limit.within_cases)});
}

}  // namespace

void DescribeSums(SeriesModel& model, const ReportWords& words) {
  for (SeriesCusum& cusum : model.cusums) {
    const SumSentences say(cusum, words);
    if (const auto& chart = cusum.sequential.chart.value) {
      cusum.sequential.meaning = say.Sequential(*chart);
      cusum.sequential.design = say.SequentialDesigned();
    }
    if (const auto& chart = cusum.tabular.chart.value) {
      const TabularDesign& design = cusum.tabular_design;
      cusum.tabular.meaning = say.Likelihood(*chart, say.Text("rate", {Percent(design.usual)}));
      cusum.tabular.design = say.Text("tabular.design", {Percent(design.usual), Percent(design.changed),
                                                         say.Limit(*chart, design.limit)});
    }
    if (const auto& chart = cusum.risk_adjusted.chart.value) {
      const RiskAdjustedDesign& design = cusum.adjusted_design;
      cusum.risk_adjusted.meaning =
          say.Likelihood(*chart, say.Text("risks"), cusum.without_risk) + say.PassedOver();
      cusum.risk_adjusted.design = say.Text(
          "adjusted.design", {fmt::format("{:g}", design.odds_ratio), say.Limit(*chart, design.limit)});
    }
  }
}

}  // namespace afterscope
