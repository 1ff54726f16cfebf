// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/series/series_figures.hpp"

#include "annotate/report/chart/series_charts.hpp"
#include "annotate/report/format.hpp"
#include "annotate/report/series/series_amount.hpp"

#include <fmt/format.h>

namespace afterscope {
namespace {

std::string CaseWords(const SeriesCase& entry) {
  std::string words = entry.code;
  for (const std::string& part : {entry.date, entry.operator_code})
    if (!part.empty()) words += (words.empty() ? "" : ", ") + part;
  if (entry.eye == "right" || entry.eye == "left") words += ", " + entry.eye + " eye";
  if (!entry.group.empty() && entry.group != entry.operator_code) words += ", " + entry.group;
  return words;
}

std::string ValueWords(const SeriesMeasure& measure, const SeriesPoint& point) {
  std::string words = measure.unit == "s" || IsShare(measure)
                          ? SeriesAmount(measure, point.value)
                          : FormatEstimate({point.value, point.low, point.high}, measure.unit).value;
  if (point.shared) words += ", others had the instruments for a part";
  return words;
}

std::vector<std::string> WordsOfSum(const SeriesSum& sum) {
  if (!sum.chart.value) return {sum.chart.reason};
  return {sum.meaning, sum.design};
}

struct SumForm {
  const char* name;
  const char* words;
  SeriesSum SeriesCusum::*sum;
};

constexpr SumForm kForms[] = {{"sum", "Sum", &SeriesCusum::sequential},
                              {"tabular", "Tabular sum", &SeriesCusum::tabular},
                              {"adjusted", "Sum adjusted for risk", &SeriesCusum::risk_adjusted}};

struct WordsForm {
  const char* name;
  const char* label;
  std::vector<std::string> SeriesModel::*said;
};

constexpr WordsForm kWords[] = {{"complications", "Complications", &SeriesModel::complications_said},
                                {"mix", "Case mix", &SeriesModel::mix_said},
                                {"passages", "From step to step", &SeriesModel::passages_said}};

// What each group's points are drawn as, and where its middle lies.
void AddGroups(const SeriesMeasure& measure, std::vector<std::string>& sentences) {
  for (const SeriesGroup& group : measure.groups) {
    if (!group.quartiles.value) continue;
    const bool reference = &group == &measure.groups.front();
    sentences.push_back(
        fmt::format("{}{}: {} case{}, median {}.", group.name,
                    measure.groups.size() < 2 ? ""
                    : reference               ? " (round points)"
                                              : " (square points)",
                    group.n, group.n == 1 ? "" : "s",
                    ValueWords(measure, {0, group.quartiles.value->median, 0, 0, false, {}})));
  }
}

}  // namespace

std::vector<SeriesFigure> FiguresOf(const SeriesModel& model) {
  std::vector<SeriesFigure> figures;
  for (std::size_t i = 0; i < model.measures.size(); ++i) {
    const SeriesMeasure& measure = model.measures[i];
    figures.push_back({measure.name + "\n" + measure.step,
                       measure.label,
                       fmt::format("{}", measure.points.size()),
                       i,
                       std::nullopt,
                       {},
                       nullptr});
  }
  for (std::size_t i = 0; i < model.cusums.size(); ++i)
    for (const auto& [name, words, sum] : kForms) {
      const SeriesCusum& cusum = model.cusums[i];
      if (sum != &SeriesCusum::sequential && !(cusum.*sum).chart.value) continue;
      figures.push_back({fmt::format("{}\n{}", name, cusum.plan.title),
                         fmt::format("{}: {}", words, cusum.plan.title),
                         fmt::format("{}", cusum.cases.size()), std::nullopt, i, sum, nullptr});
    }
  for (const WordsForm& form : kWords)
    figures.push_back({form.name, form.label, "", std::nullopt, std::nullopt, {}, form.said});
  return figures;
}

Chart ChartOf(const SeriesFigure& figure, const SeriesModel& model, double width_pt, double height_pt) {
  if (figure.words_alone) return {};
  if (figure.measure) return LayMeasureChart(model.measures[*figure.measure], model, width_pt, height_pt);
  const SeriesCusum& cusum = model.cusums[*figure.cusum];
  return LayCusumChart(cusum, cusum.*figure.sum, model, width_pt, height_pt);
}

std::vector<std::string> SentencesOf(const SeriesFigure& figure, const SeriesModel& model) {
  if (figure.words_alone) return model.*figure.words_alone;
  if (!figure.measure) return WordsOfSum(model.cusums[*figure.cusum].*figure.sum);
  const SeriesMeasure& measure = model.measures[*figure.measure];
  std::vector<std::string> sentences = measure.said;
  AddGroups(measure, sentences);
  return sentences;
}

std::string LegendOf(const SeriesFigure& figure, const SeriesModel& model) {
  return figure.measure ? model.measures[*figure.measure].legend : std::string();
}

SeriesSpot SpotOf(const SeriesFigure& figure, const SeriesModel& model, std::size_t point) {
  if (point >= PointCount(figure, model)) return {};
  if (figure.cusum) {
    const SeriesCusum& cusum = model.cusums[*figure.cusum];
    const SeriesCase& entry = model.cases[cusum.cases[point]];
    return {&entry, std::nullopt,
            CaseWords(entry) + (cusum.outcomes[point] == Outcome::kFailure ? ": counted against" : "")};
  }
  const SeriesMeasure& measure = model.measures[*figure.measure];
  const SeriesCase& entry = model.cases[measure.points[point].at];
  return {&entry, measure.points[point].frame,
          CaseWords(entry) + ": " + ValueWords(measure, measure.points[point])};
}

std::size_t PointCount(const SeriesFigure& figure, const SeriesModel& model) {
  if (figure.words_alone) return 0;
  return figure.measure ? model.measures[*figure.measure].points.size()
                        : model.cusums[*figure.cusum].cases.size();
}

}  // namespace afterscope
