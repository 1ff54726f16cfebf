// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/series/series_report.hpp"

#include "annotate/case/text.hpp"
#include "annotate/report/build/parts.hpp"
#include "annotate/report/chart/series_charts.hpp"
#include "annotate/report/format.hpp"
#include "annotate/report/series/series_amount.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace afterscope {
namespace {

constexpr double kChartHeight = 96;
constexpr std::size_t kMostPassages = 30;
constexpr std::size_t kFewestForQuartiles = 6;

std::string Count(std::size_t count) { return fmt::format("{}", count); }

// One case is told in words.
bool HasChart(const SeriesMeasure& measure) { return measure.points.size() > 1; }

// Then nothing is said over its cases but how far they reach.
bool IsOfFew(const SeriesMeasure& measure) { return measure.points.size() < kFewestForQuartiles; }

// The words of one model, and what is said with them again and again.
struct Teller {
  const SeriesModel& model;
  const ReportWords& words;

  std::string Text(const std::string& key, std::initializer_list<std::string> values = {}) const {
    return SeriesText(words, key, values);
  }
  std::string None() const { return Text("none"); }
  std::string Level() const { return fmt::format("{:g}", 100 * model.level); }

  // Two amounts of one unit, which is said once; `key` joins them.
  std::string Two(const char* key, const std::string& first, const std::string& second) const {
    const std::size_t unit = second.rfind("\u00a0");
    const bool same = unit != std::string::npos && first.ends_with(second.substr(unit));
    return Text(key, {same ? first.substr(0, first.size() - (second.size() - unit)) : first, second});
  }
  std::string Spread(const Quartiles& q, bool whole, const SeriesMeasure& measure) const {
    const std::string low = SeriesAmount(measure, whole ? q.least : q.lower);
    const std::string high = SeriesAmount(measure, whole ? q.most : q.upper);
    return low == high ? low : Two("from_to", low, high);
  }
  std::string Mean(const Computed<double>& mean, const Computed<double>& sd,
                   const SeriesMeasure& measure) const {
    if (!mean.value) return None();
    if (!sd.value) return SeriesAmount(measure, *mean.value);
    return Two("plus_minus", SeriesAmount(measure, *mean.value), SeriesAmount(measure, *sd.value));
  }
  std::string Share(const Computed<Estimate>& share) const {
    if (!share.value) return None();
    return Text("with_limits", {FormatShare(share.value->value), FormatShare(share.value->low),
                                FormatShare(share.value->high)});
  }
  DocumentSection Section(const char* heading) const { return {Text(heading), {}}; }
};

DocumentTable GroupsTable(const SeriesMeasure& measure, const Teller& tell) {
  DocumentTable table{{tell.Text("groups.group"), tell.Text("groups.cases"), tell.Text("groups.median"),
                       tell.Text("groups.middle"), tell.Text("groups.mean")},
                      {0.32, 0.1, 0.16, 0.22, 0.2},
                      {},
                      1};
  for (const SeriesGroup& group : measure.groups) {
    const auto& quartiles = group.quartiles.value;
    table.rows.push_back({group.name, Count(group.n),
                          quartiles ? SeriesAmount(measure, quartiles->median) : tell.None(),
                          quartiles ? tell.Spread(*quartiles, false, measure) : tell.None(),
                          group.sd.value ? tell.Mean(group.mean, group.sd, measure) : tell.None()});
  }
  return table;
}

DocumentSection PassagesSection(const Teller& tell) {
  const SeriesModel& model = tell.model;
  DocumentSection section = tell.Section("passages");
  DocumentTable table{{tell.Text("passages.from"), tell.Text("passages.to"), tell.Text("passages.times"),
                       tell.Text("passages.share"), tell.Text("passages.gap")},
                      {0.34, 0.34, 0.1, 0.1, 0.12},
                      {},
                      2};
  for (const StepPassage& passage : model.passages) {
    if (table.rows.size() >= kMostPassages) break;
    if (passage.count < 2 && model.cases.size() > 3) continue;
    table.rows.push_back(
        {passage.from.empty() ? tell.Text("passages.beginning") : model.step_names.at(passage.from),
         passage.to.empty() ? tell.Text("passages.end") : model.step_names.at(passage.to),
         fmt::format("{}", passage.count), FormatShare(passage.share),
         passage.gap_s ? FormatLength(passage.gap_s->median) : tell.None()});
  }
  section.blocks.emplace_back(std::move(table));
  return section;
}

// Each sum that could be computed as a chart under its words; of the others why not.
void SaySum(DocumentSection& section, const SeriesCusum& cusum, const Teller& tell) {
  section.Say(cusum.plan.title, Voice::kStrong);
  if (!cusum.sequential.chart.value) return section.Say(cusum.sequential.chart.reason, Voice::kSmall);
  const auto draw = [&](const SeriesSum& sum) {
    section.blocks.emplace_back(LayCusumChart(cusum, sum, tell.model, kDocumentWidth, kChartHeight));
  };
  section.Say(cusum.sequential.meaning);
  section.Say(cusum.sequential.design, Voice::kSmall);
  draw(cusum.sequential);
  const auto further = [&](const char* key, const SeriesSum& sum) {
    section.Say(tell.Text(key, {sum.meaning, sum.design}), Voice::kSmall);
    draw(sum);
  };
  if (cusum.tabular.chart.value) further("sum.tabular", cusum.tabular);
  if (cusum.risk_adjusted.chart.value)
    further("sum.adjusted", cusum.risk_adjusted);
  else
    section.Say(tell.Text("sum.not_adjusted", {cusum.risk_adjusted.chart.reason}), Voice::kSmall);
}

}  // namespace

std::string SeriesText(const ReportWords& words, const std::string& key,
                       std::initializer_list<std::string> values) {
  return FillBraces(words.Text("series." + key), values);
}

std::string CasesAndPeriod(const SeriesModel& model, const ReportWords& words) {
  if (model.cases.empty()) return Count(0);
  const std::string& last = model.cases.back().date;
  const std::string count = Count(model.cases.size());
  if (last.empty()) return SeriesText(words, "cases.undated", {count});
  const auto first = std::find_if(model.cases.begin(), model.cases.end(),
                                  [](const SeriesCase& entry) { return !entry.date.empty(); });
  if (first->date == last) return SeriesText(words, "cases.one_day", {count, last});
  return SeriesText(words, "cases.dated", {count, first->date, last});
}

std::vector<std::pair<std::string, std::string>> SeriesFacts(const SeriesModel& model,
                                                             const ReportWords& words) {
  std::vector<std::pair<std::string, std::string>> facts;
  const auto add = [&](const char* what, const std::string& which) {
    if (!which.empty()) facts.emplace_back(SeriesText(words, what), which);
  };
  add("cases", CasesAndPeriod(model, words));
  add("operators", JoinText(model.operators, ", "));
  const SeriesFilter& f = model.filter;
  if (!f.operator_code.empty()) add("only", SeriesText(words, "only.operator", {f.operator_code}));
  add("from", f.from);
  add("to", f.to);
  add("eye", f.eye);
  add("operation", f.operation);
  add("step_list", f.step_list);
  add("role", f.operator_role);
  add("difficulty", f.difficulty);
  add("complication", f.complication);
  add("reviewer", f.reviewer_code);
  add("kind", f.kind);
  for (const auto& [name, value] : f.extra) facts.emplace_back(name, value);
  if (model.groups.size() > 1) add("by", SeriesText(words, "by.value", {model.by, model.groups.front()}));
  if (model.take_overs > 0)
    add("taken_over", SeriesText(words, "taken_over.value",
                                 {fmt::format("{}", model.take_overs), FormatLength(model.taken_over_s)}));
  return facts;
}

DocumentSection FiguresSection(const SeriesModel& model, const ReportWords& words) {
  const Teller tell{model, words};
  DocumentSection section = tell.Section("figures");
  DocumentTable table{{tell.Text("figures.figure"), tell.Text("figures.cases"), tell.Text("figures.median"),
                       tell.Text("figures.middle"), tell.Text("figures.mean"), tell.Text("figures.share")},
                      {0.29, 0.07, 0.12, 0.22, 0.17, 0.13},
                      {},
                      1};
  for (const SeriesMeasure& m : model.measures) {
    const auto& quartiles = m.quartiles.value;
    const bool few = IsOfFew(m);
    table.rows.push_back(
        {m.label, Count(m.points.size()), quartiles ? SeriesAmount(m, quartiles->median) : tell.None(),
         quartiles ? tell.Spread(*quartiles, few, m) : tell.None(), tell.Mean(m.mean, m.sd, m),
         m.share.value ? FormatShare(m.share.value->median) : tell.None()});
  }
  section.blocks.emplace_back(std::move(table));
  return section;
}

DocumentSection ChartsSection(const SeriesModel& model, const ReportWords& words) {
  const Teller tell{model, words};
  DocumentSection section = tell.Section("charts");
  const bool few = std::all_of(model.measures.begin(), model.measures.end(), IsOfFew);
  const bool drawn = std::any_of(model.measures.begin(), model.measures.end(), HasChart);
  if (drawn) section.Say(tell.Text(few ? "charts.legend_few" : "charts.legend"), Voice::kSmall);
  for (const SeriesMeasure& m : model.measures) {
    if (m.points.empty()) continue;
    section.Say(m.label, Voice::kStrong);
    section.Say(JoinText(m.said, " "), Voice::kSmall);
    if (HasChart(m)) section.blocks.emplace_back(LayMeasureChart(m, model, kDocumentWidth, kChartHeight));
    if (m.groups.size() > 1) section.blocks.emplace_back(GroupsTable(m, tell));
  }
  return section;
}

DocumentSection ComplicationsSection(const SeriesModel& model, const ReportWords& words) {
  const Teller tell{model, words};
  DocumentSection section = tell.Section("complications");
  section.Say(model.complications_known == 0
                  ? tell.Text("complications.not_known")
                  : tell.Text("complications.known",
                              {fmt::format("{}", model.complications_known), Count(model.cases.size())}));
  if (!model.complications.empty()) {
    DocumentTable table{{tell.Text("complications.complication"), tell.Text("complications.cases"),
                         tell.Text("complications.share", {tell.Level()})},
                        {0.56, 0.14, 0.3},
                        {},
                        1};
    for (const SeriesComplication& c : model.complications)
      table.rows.push_back({c.name, fmt::format("{}", c.cases), tell.Share(c.share)});
    section.blocks.emplace_back(std::move(table));
  } else if (model.complications_known > 0) {
    section.Say(tell.Text("complications.none"));
  }
  for (const SeriesCusum& cusum : model.cusums) SaySum(section, cusum, tell);
  return section;
}

DocumentSection CaseMixSection(const SeriesModel& model, const ReportWords& words) {
  const Teller tell{model, words};
  DocumentSection section = tell.Section("mix");
  DocumentTable table{{tell.Text("mix.eyes"), tell.Text("mix.cases"), tell.Text("mix.whole"),
                       tell.Text("mix.with"), tell.Text("mix.share", {tell.Level()})},
                      {0.3, 0.1, 0.2, 0.18, 0.22},
                      {},
                      1};
  for (const SeriesStratum& s : model.strata)
    if (s.cases > 0)
      table.rows.push_back({s.name, fmt::format("{}", s.cases),
                            s.whole_s.value ? FormatLength(s.whole_s.value->median) : tell.None(),
                            s.complications_known > 0
                                ? tell.Text("of", {fmt::format("{}", s.with_complication),
                                                   fmt::format("{}", s.complications_known)})
                                : tell.Text("mix.not_known"),
                            tell.Share(s.share)});
  section.blocks.emplace_back(std::move(table));
  section.Say(tell.Text("mix.note"), Voice::kSmall);
  return section;
}

DocumentSection CautionsSection(const SeriesModel& model, const ReportWords& words) {
  const Teller tell{model, words};
  DocumentSection section = tell.Section("cautions");
  for (const std::string& caution : model.cautions) section.Say(caution);
  section.Say(tell.Text("cautions.always"));
  return section;
}

DocumentSection MethodSection(const SeriesModel& model, const ReportWords& words) {
  const Teller tell{model, words};
  DocumentSection section = tell.Section("method");
  std::set<std::string> methods;
  const auto note = [&](const auto& figure) {
    if (figure.value && !figure.value->method.empty()) methods.insert(figure.value->method);
  };
  for (const SeriesMeasure& m : model.measures) {
    if (!IsOfFew(m)) {
      note(m.run_chart);
      note(m.control_chart);
      note(m.trend);
      note(m.direction);
      note(m.learning);
      note(m.change);
      note(m.latest);
    }
    for (const SeriesComparison& c : m.comparisons) {
      note(c.difference);
      note(c.test);
      note(c.adjusted);
    }
  }
  for (const SeriesCusum& c : model.cusums) {
    for (const SeriesSum* sum : {&c.sequential, &c.tabular, &c.risk_adjusted}) note(sum->chart);
  }
  section.Say(tell.Text("method.always", {tell.Level()}));
  section.Say(tell.Text("method.many"));
  for (const std::string& method : methods) section.Say(method, Voice::kSmall);
  return section;
}

SheetDocument SeriesReport(const SeriesModel& model, const ReportWords& words) {
  SheetDocument document;
  document.title = SeriesText(words, "title");
  document.subtitle = SeriesText(words, "subtitle");
  document.facts = SeriesFacts(model, words);
  document.footer = SeriesText(words, "footer");
  document.sections = {FiguresSection(model, words),       ChartsSection(model, words),
                       ComplicationsSection(model, words), CaseMixSection(model, words),
                       PassagesSection({model, words}),    CautionsSection(model, words),
                       MethodSection(model, words)};
  return document;
}

}  // namespace afterscope
