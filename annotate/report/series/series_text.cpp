// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/series/series_text.hpp"

#include "annotate/report/format.hpp"
#include "annotate/report/series/series_amount.hpp"
#include "annotate/report/series/series_report.hpp"

#include <fmt/format.h>

#include <initializer_list>
#include <utility>

namespace afterscope {
namespace {

class SeriesTextLines {
 public:
  SeriesTextLines(const SeriesModel& model, const ReportWords& words) : model_(model), words_(words) {}

  void Measures();
  void Sums();
  void AllOf(const char* heading, const std::vector<std::string>& said);
  void TakenOver();
  std::vector<std::string> Take() { return std::move(lines_); }
  void Add(std::string text) { lines_.push_back(std::move(text)); }

 private:
  std::string Text(const char* key, std::initializer_list<std::string> values = {}) const {
    return SeriesText(words_, key, values);
  }
  void Heading(std::string text) {
    Add({});
    Add(std::move(text));
  }
  void Below(const std::string& text) { Add("  " + text); }
  std::string GroupText(const SeriesGroup& group, const SeriesMeasure& measure) const;

  const SeriesModel& model_;
  const ReportWords& words_;
  std::vector<std::string> lines_;
};

std::string SeriesTextLines::GroupText(const SeriesGroup& group, const SeriesMeasure& measure) const {
  const bool seconds = measure.unit == "s";
  const auto bare = [](double value) { return fmt::format("{:.1f}", value); };
  const auto amount = [&](double value) {
    return seconds ? WithUnit(bare(value), measure.unit) : SeriesAmount(measure, value);
  };
  const double mean = *group.mean.value;
  if (!group.sd.value) return Text("group.said_one", {group.name, amount(mean)});
  return Text("group.said", {group.name, seconds ? bare(mean) : amount(mean), amount(*group.sd.value),
                             amount(group.quartiles.value->median), fmt::format("{}", group.n)});
}

void SeriesTextLines::Measures() {
  for (const SeriesMeasure& measure : model_.measures) {
    Heading(measure.label);
    for (const std::string& sentence : measure.said) Below(sentence);
    if (measure.groups.size() < 2) continue;
    for (const SeriesGroup& group : measure.groups)
      if (group.mean.value && group.quartiles.value) Below(GroupText(group, measure));
  }
}

void SeriesTextLines::Sums() {
  for (const SeriesCusum& cusum : model_.cusums) {
    Heading(cusum.plan.title);
    if (!cusum.sequential.chart.value) {
      Below(cusum.sequential.chart.reason);
      continue;
    }
    Below(cusum.sequential.meaning);
    Below(cusum.sequential.design);
    if (cusum.tabular.chart.value) Below(Text("sum.tabular", {cusum.tabular.meaning, cusum.tabular.design}));
    if (cusum.risk_adjusted.chart.value)
      Below(Text("sum.adjusted", {cusum.risk_adjusted.meaning, cusum.risk_adjusted.design}));
    else
      Below(Text("sum.not_adjusted", {cusum.risk_adjusted.chart.reason}));
  }
}

void SeriesTextLines::AllOf(const char* heading, const std::vector<std::string>& said) {
  Heading(Text(heading));
  for (const std::string& line : said) Below(line);
}

void SeriesTextLines::TakenOver() {
  if (model_.take_overs == 0) return;
  Heading(Text("taken_over"));
  Below(Text("taken_over.value", {fmt::format("{}", model_.take_overs), FormatLength(model_.taken_over_s)}));
}

}  // namespace

std::vector<std::string> SeriesLines(const SeriesModel& model, const ReportWords& words) {
  SeriesTextLines lines(model, words);
  lines.Add(fmt::format("{}: {}", SeriesText(words, "cases"), CasesAndPeriod(model, words)));
  lines.Measures();
  lines.AllOf("complications", model.complications_said);
  lines.Sums();
  lines.AllOf("mix", model.mix_said);
  lines.AllOf("passages", model.passages_said);
  lines.TakenOver();
  return lines.Take();
}

}  // namespace afterscope
