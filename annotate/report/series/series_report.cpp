// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/series/series_report.hpp"

#include "annotate/case/text.hpp"
#include "annotate/report/chart/series_charts.hpp"
#include "annotate/report/format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace afterscope {
namespace {

constexpr double kChartHeight = 96;
constexpr std::size_t kMostPassages = 30;
constexpr std::size_t kFewestForQuartiles = 6;

std::string Amount(double value, const std::string& unit) {
  return unit == "s" ? FormatLength(value) : FormatEstimate({value, value, value}, unit).value;
}

// Two amounts of one unit, which is said once.
std::string TwoAmounts(const std::string& first, const std::string& between, const std::string& second) {
  const std::size_t unit = second.rfind("\u00a0");
  const bool same = unit != std::string::npos && first.ends_with(second.substr(unit));
  return fmt::format("{} {} {}", same ? first.substr(0, first.size() - (second.size() - unit)) : first,
                     between, second);
}

std::string Limits(const Computed<Estimate>& share) {
  if (!share.value) return "–";
  return fmt::format("{} ({} to {})", FormatShare(share.value->value), FormatShare(share.value->low),
                     FormatShare(share.value->high));
}

std::string SpreadText(const SeriesMeasure& measure) {
  if (!measure.quartiles.value) return "–";
  const Quartiles& q = *measure.quartiles.value;
  const bool few = measure.points.size() < kFewestForQuartiles;
  return TwoAmounts(Amount(few ? q.least : q.lower, measure.unit), "to",
                    Amount(few ? q.most : q.upper, measure.unit));
}

std::string MeanText(const SeriesMeasure& measure) {
  if (!measure.mean.value) return "–";
  if (!measure.sd.value) return Amount(*measure.mean.value, measure.unit);
  return TwoAmounts(Amount(*measure.mean.value, measure.unit), "±", Amount(*measure.sd.value, measure.unit));
}

void Say(DocumentSection& section, std::string text, Voice voice = Voice::kPlain) {
  section.blocks.emplace_back(DocumentText{std::move(text), voice});
}

DocumentTable GroupsTable(const SeriesMeasure& measure) {
  DocumentTable table{
      {"Group", "Cases", "Median", "Middle half", "Mean ± SD"}, {0.32, 0.1, 0.16, 0.22, 0.2}, {}, 1};
  for (const SeriesGroup& group : measure.groups) {
    std::vector<std::string> row{group.name, fmt::format("{}", group.n), "–", "–", "–"};
    if (group.quartiles.value) {
      row[2] = Amount(group.quartiles.value->median, measure.unit);
      row[3] = TwoAmounts(Amount(group.quartiles.value->lower, measure.unit), "to",
                          Amount(group.quartiles.value->upper, measure.unit));
    }
    if (group.mean.value && group.sd.value)
      row[4] =
          TwoAmounts(Amount(*group.mean.value, measure.unit), "±", Amount(*group.sd.value, measure.unit));
    table.rows.push_back(std::move(row));
  }
  return table;
}

DocumentSection PassagesSection(const SeriesModel& model) {
  DocumentSection section{"From step to step", {}};
  DocumentTable table{{"From", "To", "Times", "Share", "Median gap"}, {0.34, 0.34, 0.1, 0.1, 0.12}, {}, 2};
  for (const StepPassage& passage : model.passages) {
    if (table.rows.size() >= kMostPassages) break;
    if (passage.count < 2 && model.cases.size() > 3) continue;
    table.rows.push_back({passage.from.empty() ? "(beginning)" : model.step_names.at(passage.from),
                          passage.to.empty() ? "(end)" : model.step_names.at(passage.to),
                          fmt::format("{}", passage.count), FormatShare(passage.share),
                          passage.gap_s ? FormatLength(passage.gap_s->median) : "–"});
  }
  section.blocks.emplace_back(std::move(table));
  return section;
}

DocumentSection MethodSection(const SeriesModel& model) {
  DocumentSection section{"How it was computed", {}};
  std::set<std::string> methods;
  const auto note = [&](const auto& figure) {
    if (figure.value && !figure.value->method.empty()) methods.insert(figure.value->method);
  };
  for (const SeriesMeasure& m : model.measures) {
    note(m.run_chart);
    note(m.control_chart);
    note(m.trend);
    note(m.direction);
    note(m.learning);
    note(m.change);
    for (const SeriesComparison& c : m.comparisons) {
      note(c.difference);
      note(c.test);
      note(c.adjusted);
    }
  }
  for (const SeriesCusum& c : model.cusums) note(c.sequential);
  Say(section,
      "Of each case one review counts: a signed one before an unsigned one, then the one changed last. "
      "Quartiles are of type 7 (Hyndman and Fan 1996). Shares have Wilson's limits at 95 %.");
  for (const std::string& method : methods) Say(section, method, Voice::kSmall);
  return section;
}

}  // namespace

const char* const kSeriesFooter =
    "For training and audit. It supports, and never replaces, a supervisor's judgement.";

std::string CasesAndPeriod(const SeriesModel& model) {
  const std::string& last = model.cases.back().date;
  const auto first = std::find_if(model.cases.begin(), model.cases.end(),
                                  [](const SeriesCase& entry) { return !entry.date.empty(); });
  if (last.empty()) return fmt::format("{}, without dates", model.cases.size());
  return fmt::format("{}, {} to {}", model.cases.size(), first->date, last);
}

std::vector<std::pair<std::string, std::string>> SeriesFacts(const SeriesModel& model) {
  std::vector<std::pair<std::string, std::string>> facts;
  const auto add = [&](const char* what, const std::string& which) {
    if (!which.empty()) facts.emplace_back(what, which);
  };
  add("Cases", CasesAndPeriod(model));
  add("Operators", JoinText(model.operators, ", "));
  const SeriesFilter& f = model.filter;
  add("Only", f.operator_code.empty() ? "" : "operator " + f.operator_code + " (that person's own visits)");
  add("From", f.from);
  add("To", f.to);
  add("Eye", f.eye);
  add("Operation", f.operation);
  add("Difficulty", f.difficulty);
  add("Complication", f.complication);
  add("Reviewer", f.reviewer_code);
  add("Kind of review", f.kind);
  if (model.take_overs > 0)
    add("Taken over",
        fmt::format("{} visits, {}: counted apart", model.take_overs, FormatLength(model.taken_over_s)));
  return facts;
}

DocumentSection FiguresSection(const SeriesModel& model) {
  DocumentSection section{"All figures", {}};
  DocumentTable table{
      {"Figure", "Cases", "Median", "Middle half (few cases: all)", "Mean ± SD", "Step time’s share"},
      {0.29, 0.07, 0.12, 0.22, 0.17, 0.13},
      {},
      1};
  for (const SeriesMeasure& m : model.measures)
    table.rows.push_back({m.label, fmt::format("{}", m.points.size()),
                          m.quartiles.value ? Amount(m.quartiles.value->median, m.unit) : "–", SpreadText(m),
                          MeanText(m), m.share.value ? FormatShare(m.share.value->median) : "–"});
  section.blocks.emplace_back(std::move(table));
  return section;
}

DocumentSection ChartsSection(const SeriesModel& model) {
  DocumentSection section{"Over the cases", {}};
  Say(section,
      "Each dot is a case, in order of date; a ring alone: others had a part in the step. The band holds the "
      "middle half, the line is the median, dashes are the natural limits, an outer ring a case beyond them; "
      "a curve stands only where one can be claimed.",
      Voice::kSmall);
  for (const SeriesMeasure& m : model.measures) {
    if (m.points.empty()) continue;
    Say(section, m.label, Voice::kStrong);
    for (const std::string& sentence : m.said) Say(section, sentence, Voice::kSmall);
    if (m.points.size() > 1)
      section.blocks.emplace_back(LayMeasureChart(m, model, kDocumentWidth, kChartHeight));
    if (m.groups.size() > 1) section.blocks.emplace_back(GroupsTable(m));
  }
  return section;
}

DocumentSection ComplicationsSection(const SeriesModel& model) {
  DocumentSection section{"Complications", {}};
  Say(section, fmt::format("Of {} of {} cases it is known whether there was a complication.",
                           model.complications_known, model.cases.size()));
  if (!model.complications.empty()) {
    DocumentTable table{{"Complication", "Cases", "Share, with limits"}, {0.56, 0.14, 0.3}, {}, 1};
    for (const SeriesComplication& c : model.complications)
      table.rows.push_back({c.name, fmt::format("{}", c.cases), Limits(c.share)});
    section.blocks.emplace_back(std::move(table));
  } else if (model.complications_known > 0) {
    Say(section, "There was none in them.");
  }
  for (const SeriesCusum& cusum : model.cusums) {
    Say(section, cusum.plan.title, Voice::kStrong);
    if (!cusum.sequential.value) {
      Say(section, cusum.sequential.reason, Voice::kSmall);
      continue;
    }
    Say(section, cusum.sequential.value->words);
    Say(section, cusum.sequential.value->design, Voice::kSmall);
    section.blocks.emplace_back(LayCusumChart(cusum, model, kDocumentWidth, kChartHeight));
    for (const auto* chart : {&cusum.tabular, &cusum.risk_adjusted})
      if (chart->value) Say(section, chart->value->words + " (" + chart->value->design + ")", Voice::kSmall);
  }
  return section;
}

DocumentSection CaseMixSection(const SeriesModel& model) {
  DocumentSection section{"Case mix", {}};
  DocumentTable table{
      {"Eyes", "Cases", "Whole operation, median", "With a complication", "Share, with limits"},
      {0.3, 0.1, 0.2, 0.18, 0.22},
      {},
      1};
  for (const SeriesStratum& s : model.strata)
    if (s.cases > 0)
      table.rows.push_back(
          {s.name, fmt::format("{}", s.cases), s.whole_s.value ? FormatLength(s.whole_s.value->median) : "–",
           s.complications_known > 0 ? fmt::format("{} of {}", s.with_complication, s.complications_known)
                                     : "not known",
           Limits(s.share)});
  section.blocks.emplace_back(std::move(table));
  Say(section,
      "An eye without a noted difficulty counts as routine. People are never ranked: compare within the same "
      "difficulty only.",
      Voice::kSmall);
  return section;
}

DocumentSection CautionsSection(const SeriesModel& model) {
  DocumentSection section{"Cautions", {}};
  for (const std::string& caution : model.cautions) Say(section, caution);
  Say(section,
      "Times are read from recordings; measurements from a two-dimensional picture are estimates, their "
      "limits "
      "stand with each case. Few cases show little: a difference within the limits is none that can be "
      "told.");
  return section;
}

SheetDocument SeriesReport(const SeriesModel& model) {
  SheetDocument document;
  document.title = "Series report";
  document.subtitle = "Step times and findings across cases";
  document.facts = SeriesFacts(model);
  document.footer = kSeriesFooter;
  document.sections = {FiguresSection(model), ChartsSection(model),   ComplicationsSection(model),
                       CaseMixSection(model), PassagesSection(model), CautionsSection(model),
                       MethodSection(model)};
  return document;
}

}  // namespace afterscope
