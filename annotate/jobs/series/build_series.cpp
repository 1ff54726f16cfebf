// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"

#include "annotate/case/text.hpp"
#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/report/report_words.hpp"
#include "annotate/store/step_list_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace afterscope {
namespace {

// What names the figures for the reader: the step lists of the cases and the report's words.
struct Names {
  std::vector<StepList> lists;
  ReportWords words;

  std::string OfStep(const std::string& key) const {
    for (const StepList& list : lists)
      if (const StepKind* step = list.Find(key)) return step->name;
    return key;
  }
  std::size_t OrderOf(const std::string& key) const {
    std::size_t order = 0;
    for (const StepList& list : lists)
      for (const StepKind& step : list.steps) {
        if (step.key == key) return order;
        ++order;
      }
    return order;
  }
};

Names NamesFor(const std::vector<IndexCase>& records, const std::string& assets) {
  Names names;
  std::set<std::string> seen;
  for (const IndexCase& record : records) {
    if (!seen.insert(record.step_list).second) continue;
    CaseRecord like;
    like.step_list = record.step_list;
    if (auto list = LoadStepList(like, record.folder, assets); list.ok())
      names.lists.push_back(std::move(*list));
  }
  if (auto words = LoadReportWords(assets + "/reports/words.json"); words.ok())
    names.words = std::move(*words);
  return names;
}

// Step times in the usual order of the steps, then the plan's figures, then (if asked for) all others.
std::vector<IndexMeasure> MeasuresToShow(const std::vector<IndexMeasure>& all, const SeriesOptions& options,
                                         const Names& names) {
  std::vector<IndexMeasure> steps;
  for (const IndexMeasure& m : all)
    if (m.name == "time.step_total") steps.push_back(m);
  std::stable_sort(steps.begin(), steps.end(), [&](const IndexMeasure& a, const IndexMeasure& b) {
    return names.OrderOf(a.step) < names.OrderOf(b.step);
  });
  std::vector<IndexMeasure> shown = std::move(steps);
  const auto& planned = options.plan.measures;
  for (const std::string& name : planned)
    std::copy_if(all.begin(), all.end(), std::back_inserter(shown),
                 [&](const IndexMeasure& m) { return m.name == name; });
  if (options.all_findings)
    std::copy_if(all.begin(), all.end(), std::back_inserter(shown), [&](const IndexMeasure& m) {
      return m.name != "time.step_total" &&
             std::find(planned.begin(), planned.end(), m.name) == planned.end();
    });
  return shown;
}

std::string LabelOf(const IndexMeasure& kind, const Names& names) {
  if (kind.name == "time.step_total") return names.OfStep(kind.step);
  if (kind.name == "score.percent") return fmt::format("Score by '{}', of what applies", kind.step);
  const std::string& label = names.words.LabelOf(kind.name);
  return kind.step.empty() ? label : fmt::format("{}: {}", label, names.OfStep(kind.step));
}

// Of each case the value that is its operator's own.
void TakePoints(SeriesMeasure& measure, const std::vector<IndexValue>& values, const SelectedCases& selected,
                const SeriesOptions& options) {
  std::map<std::int64_t, std::vector<const IndexFinding*>> by_review;
  for (const IndexValue& value : values)
    if (value.finding.value && value.finding.unit == measure.unit && !value.finding.operator_code.empty())
      by_review[value.review_id].push_back(&value.finding);
  for (std::size_t i = 0; i < selected.cases.size(); ++i) {
    const SeriesCase& entry = selected.cases[i];
    const auto found = by_review.find(entry.review_id);
    const IndexFinding* own = nullptr;
    if (found != by_review.end())
      for (const IndexFinding* finding : found->second)
        if (finding->operator_code == entry.operator_code && !finding->taken_over) own = finding;
    if (!own) {
      ++(found == by_review.end() ? measure.missing : measure.by_others);
      continue;
    }
    const bool of_step = measure.name.starts_with("time.step_");
    if (own->shared) ++measure.shared;
    if (own->shared && of_step && options.whole_steps_only) continue;
    measure.points.push_back({i, *own->value, own->low, own->high, own->shared, own->frame});
  }
}

// Each point's share of its operator's step time in that case.
void TakeShares(SeriesMeasure& measure, const std::vector<double>& own_totals) {
  std::vector<double> shares;
  for (const SeriesPoint& point : measure.points)
    if (own_totals[point.at] > 0) shares.push_back(point.value / own_totals[point.at]);
  if (const auto quartiles = QuartilesOf(shares); quartiles.ok())
    measure.share.value = *quartiles;
  else
    measure.share.reason = quartiles.error().message;
}

std::vector<double> OwnTotals(const SelectedCases& selected, SeriesModel& model) {
  std::vector<double> totals(selected.cases.size(), 0);
  for (std::size_t i = 0; i < totals.size(); ++i)
    for (const IndexVisit& visit : selected.visits[i]) {
      const double seconds = visit.end_s - visit.start_s;
      if (visit.operator_code == selected.cases[i].operator_code && !visit.taken_over) {
        totals[i] += seconds;
      } else {
        ++model.take_overs;
        model.taken_over_s += seconds;
      }
    }
  return totals;
}

std::vector<StepPassage> PassagesOf(const SelectedCases& selected) {
  std::vector<std::vector<TimedVisit>> operations;
  for (const std::vector<IndexVisit>& visits : selected.visits) {
    std::vector<TimedVisit>& operation = operations.emplace_back();
    for (const IndexVisit& v : visits)
      operation.push_back({v.step, v.operator_code, {v.start_s, v.end_s}, 0, v.taken_over});
  }
  return PassagesBetween(operations);
}

SeriesOrder OrderOf(const SeriesMeasure& measure, const SeriesModel& model) {
  SeriesOrder order;
  bool numbered = model.operators.size() == 1;
  for (const SeriesPoint& point : measure.points) {
    const SeriesCase& entry = model.cases[point.at];
    if (entry.date.empty()) ++order.undated;
    numbered = numbered && entry.number > 0;
    order.numbers.push_back(entry.number);
  }
  if (!numbered) order.numbers.clear();
  return order;
}

std::vector<std::optional<double>> RisksOf(const std::vector<IndexCase>& records) {
  std::vector<std::optional<double>> risks;
  for (const IndexCase& record : records) {
    const auto found = record.extra.find("risk");
    risks.push_back(found == record.extra.end() ? std::nullopt : NumberFrom(found->second));
  }
  return risks;
}

void NoteUndated(SeriesModel& model) {
  const auto undated = std::count_if(model.cases.begin(), model.cases.end(),
                                     [](const SeriesCase& entry) { return entry.date.empty(); });
  if (undated > 0 && static_cast<std::size_t>(undated) == model.cases.size())
    model.cautions.emplace_back(
        "No case has a date: they stand in order of their folders' names, and nothing is said over time.");
  else if (undated > 0)
    model.cautions.push_back(
        fmt::format("{} no date: they stand first, in order of their folders' names, and nothing is "
                    "said over time where they take part. A first date leaves them out.",
                    undated == 1 ? std::string("1 case has") : fmt::format("{} cases have", undated)));
}

// Which group the others are compared with where nobody says; empty: the first.
std::string UsualReference(const SeriesModel& model) {
  if (model.by == "difficulty") return StratumOf({});
  if (model.groups.size() > 1 && model.by == "operator:" + model.groups[0]) return model.groups[1];
  return {};
}

// Groups that say nothing are told.
void NoteGroups(SeriesModel& model) {
  if (model.by.empty()) return;
  const auto without = std::count_if(model.cases.begin(), model.cases.end(),
                                     [](const SeriesCase& entry) { return entry.group.empty(); });
  if (without > 0)
    model.cautions.push_back(fmt::format(
        "{} in no group of '{}' and left out where groups are compared.",
        without == 1 ? std::string("1 case is") : fmt::format("{} cases are", without), model.by));
  if (model.groups.size() < 2)
    model.cautions.push_back(
        fmt::format("All cases that have a group of '{}' are in one group: there is "
                    "nothing to compare.",
                    model.by));
}

void NameGroups(SeriesModel& model, const SeriesOptions& options) {
  std::set<std::string> operators;
  std::set<std::string> groups;
  for (const SeriesCase& entry : model.cases) {
    operators.insert(entry.operator_code);
    if (!entry.group.empty()) groups.insert(entry.group);
  }
  model.operators.assign(operators.begin(), operators.end());
  model.groups.assign(groups.begin(), groups.end());
  const std::string wanted = options.reference.empty() ? UsualReference(model) : options.reference;
  const auto reference = std::find(model.groups.begin(), model.groups.end(), wanted);
  if (reference != model.groups.end()) {
    std::rotate(model.groups.begin(), reference, reference + 1);
  } else if (!options.reference.empty()) {
    model.cautions.push_back(fmt::format(
        "No case is in the reference group '{}'; the first group stands in its place.", options.reference));
  }
  NoteGroups(model);
}

}  // namespace

Result<SeriesModel> BuildSeries(CaseIndex& index, const std::string& folder, const SeriesOptions& options) {
  AFTERSCOPE_ASSIGN(SelectedCases selected, SelectCases(index, folder, options));
  if (selected.cases.empty())
    return Error{ErrorCode::kNotComputable,
                 fmt::format("No reviewed case under '{}' passes the filter.", folder)};
  SeriesModel model;
  model.filter = options.filter;
  model.by = options.by;
  model.level = options.level;
  model.folder = folder;
  model.cases = selected.cases;
  NameGroups(model, options);
  const Names names = NamesFor(selected.records, options.assets_folder);
  const std::vector<double> own_totals = OwnTotals(selected, model);
  AFTERSCOPE_ASSIGN(const std::vector<IndexMeasure> all, index.Measures());
  for (const IndexMeasure& kind : MeasuresToShow(all, options, names)) {
    SeriesMeasure measure;
    measure.name = kind.name;
    measure.step = kind.step;
    measure.label = LabelOf(kind, names);
    measure.unit = kind.unit;
    AFTERSCOPE_ASSIGN(const std::vector<IndexValue> values, index.Values(kind.name, kind.step));
    TakePoints(measure, values, selected, options);
    if (measure.points.empty() && measure.by_others == 0) continue;
    AnalyseMeasure(measure, OrderOf(measure, model), options.level);
    if (measure.name == "time.step_total") TakeShares(measure, own_totals);
    CompareGroups(measure, model, options.level);
    DescribeMeasure(measure, model, names.words);
    model.measures.push_back(std::move(measure));
  }
  model.passages = PassagesOf(selected);
  for (const StepPassage& passage : model.passages)
    for (const std::string& step : {passage.from, passage.to}) model.step_names[step] = names.OfStep(step);
  DescribePassages(model, names.words);
  NoteUndated(model);
  AddOutcomes(model, RisksOf(selected.records), options);
  return model;
}

}  // namespace afterscope
