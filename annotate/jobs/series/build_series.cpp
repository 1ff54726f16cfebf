// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"

#include "annotate/case/text.hpp"
#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/report/report_words.hpp"
#include "annotate/report/series/series_report.hpp"
#include "annotate/store/step_list_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <optional>
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
  // Its place in the lists; none where it is in none of them.
  std::optional<std::size_t> OrderOf(const std::string& key) const {
    std::size_t order = 0;
    for (const StepList& list : lists)
      for (const StepKind& step : list.steps) {
        if (step.key == key) return order;
        ++order;
      }
    return std::nullopt;
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

// Where each step mostly begins in its operation, in seconds.
std::map<std::string, double> UsualStarts(const SelectedCases& selected) {
  std::map<std::string, std::vector<double>> starts;
  for (const std::vector<IndexVisit>& visits : selected.visits) {
    std::set<std::string> seen;
    for (const IndexVisit& visit : visits)
      if (seen.insert(visit.step).second) starts[visit.step].push_back(visit.start_s);
  }
  std::map<std::string, double> usual;
  for (const auto& [step, seconds] : starts)
    if (const auto quartiles = QuartilesOf(seconds); quartiles.ok()) usual[step] = quartiles->median;
  return usual;
}

// In the order of the step lists; where a step of these cases is in none of them, as the operations mostly
// go.
void PutInOrder(std::vector<IndexMeasure>& steps, const SelectedCases& selected, const Names& names) {
  const std::map<std::string, double> starts = UsualStarts(selected);
  const bool known = std::all_of(starts.begin(), starts.end(),
                                 [&](const auto& start) { return names.OrderOf(start.first).has_value(); });
  const auto place = [&](const IndexMeasure& m) {
    const auto listed = names.OrderOf(m.step);
    if (known && listed) return static_cast<double>(*listed);
    const auto found = starts.find(m.step);
    return found == starts.end() ? std::numeric_limits<double>::infinity() : found->second;
  };
  std::stable_sort(steps.begin(), steps.end(),
                   [&](const IndexMeasure& a, const IndexMeasure& b) { return place(a) < place(b); });
}

// Step times in the usual order of the steps, then the plan's figures, then (if asked for) all others.
std::vector<IndexMeasure> MeasuresToShow(const std::vector<IndexMeasure>& all, const SeriesOptions& options,
                                         const SelectedCases& selected, const Names& names) {
  std::vector<IndexMeasure> steps;
  for (const IndexMeasure& m : all)
    if (m.name == "time.step_total") steps.push_back(m);
  PutInOrder(steps, selected, names);
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
  if (kind.name == "score.percent") return SeriesText(names.words, "score", {kind.step});
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
        model.taken_over_s += seconds;
      }
    }
  return totals;
}

std::vector<std::vector<TimedVisit>> OperationsOf(const SelectedCases& selected) {
  std::vector<std::vector<TimedVisit>> operations;
  for (const std::vector<IndexVisit>& visits : selected.visits) {
    std::vector<TimedVisit>& operation = operations.emplace_back();
    for (const IndexVisit& v : visits)
      operation.push_back({v.step, v.operator_code, {v.start_s, v.end_s}, 0, v.taken_over});
  }
  return operations;
}

// Visits in which another than the case's operator had the instruments.
int CountTakeOvers(const SelectedCases& selected, const std::vector<std::vector<TimedVisit>>& operations) {
  int count = 0;
  for (std::size_t i = 0; i < operations.size(); ++i)
    for (const JoinedVisit& visit : JoinedVisits(operations[i]))
      count += std::any_of(visit.parts.begin(), visit.parts.end(), [&](std::size_t part) {
        const TimedVisit& v = operations[i][part];
        return v.taken_over || v.operator_code != selected.cases[i].operator_code;
      });
  return count;
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

void NoteUndated(SeriesModel& model, const ReportWords& words) {
  const auto undated = std::count_if(model.cases.begin(), model.cases.end(),
                                     [](const SeriesCase& entry) { return entry.date.empty(); });
  if (undated == 0) return;
  if (static_cast<std::size_t>(undated) == model.cases.size())
    model.cautions.push_back(SeriesText(words, "caution.undated_all"));
  else if (undated == 1)
    model.cautions.push_back(SeriesText(words, "caution.undated_one"));
  else
    model.cautions.push_back(SeriesText(words, "caution.undated", {fmt::format("{}", undated)}));
}

// Cases that are left out, a sentence each.
std::vector<std::string> LeftOut(const SelectedCases& selected, const SeriesFilter& filter,
                                 const ReportWords& words) {
  std::vector<std::string> said;
  const std::string kind = filter.kind.empty() ? "formative" : filter.kind;
  if (selected.without_review == 1) said.push_back(SeriesText(words, "caution.no_review_one", {kind}));
  if (selected.without_review > 1)
    said.push_back(
        SeriesText(words, "caution.no_review", {fmt::format("{}", selected.without_review), kind}));
  if (selected.handed_over == 1) said.push_back(SeriesText(words, "caution.handed_over_one"));
  if (selected.handed_over > 1)
    said.push_back(SeriesText(words, "caution.handed_over", {fmt::format("{}", selected.handed_over)}));
  return said;
}

// In the order of the steps they lead from, as the figures have it; the most frequent first, as before.
void PutInOrder(std::vector<StepPassage>& passages, const std::vector<SeriesMeasure>& measures) {
  std::map<std::string, std::size_t> places;
  for (const SeriesMeasure& measure : measures)
    if (measure.name == "time.step_total") places.emplace(measure.step, places.size() + 1);
  const auto place = [&](const StepPassage& passage) {
    if (passage.from.empty()) return std::size_t{0};
    const auto found = places.find(passage.from);
    return found == places.end() ? places.size() + 1 : found->second;
  };
  std::stable_sort(passages.begin(), passages.end(),
                   [&](const StepPassage& a, const StepPassage& b) { return place(a) < place(b); });
}

// Which group the others are compared with where nobody says; empty: the first.
std::string UsualReference(const SeriesModel& model) {
  if (model.by == "difficulty") return StratumOf({});
  if (model.groups.size() > 1 && model.by == "operator:" + model.groups[0]) return model.groups[1];
  return {};
}

// Groups that say nothing are told.
void NoteGroups(SeriesModel& model, const ReportWords& words) {
  if (model.by.empty()) return;
  const auto without = std::count_if(model.cases.begin(), model.cases.end(),
                                     [](const SeriesCase& entry) { return entry.group.empty(); });
  if (model.groups.empty())
    return model.cautions.push_back(SeriesText(words, "caution.no_group", {model.by}));
  if (without == 1) model.cautions.push_back(SeriesText(words, "caution.ungrouped_one", {model.by}));
  if (without > 1)
    model.cautions.push_back(SeriesText(words, "caution.ungrouped", {fmt::format("{}", without), model.by}));
  if (model.groups.size() == 1) model.cautions.push_back(SeriesText(words, "caution.one_group", {model.by}));
}

void NameGroups(SeriesModel& model, const SeriesOptions& options, const ReportWords& words) {
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
    model.cautions.push_back(SeriesText(words, "caution.no_reference", {options.reference}));
  }
  NoteGroups(model, words);
}

}  // namespace

Result<SeriesModel> BuildSeries(CaseIndex& index, const std::string& folder, const SeriesOptions& options) {
  AFTERSCOPE_TRY(CheckGroups(options.by));
  AFTERSCOPE_ASSIGN(SelectedCases selected, SelectCases(index, folder, options));
  const Names names = NamesFor(selected.records, options.assets_folder);
  SeriesModel model;
  model.cautions = LeftOut(selected, options.filter, names.words);
  if (selected.cases.empty() && options.may_be_empty && !options.filter.operator_code.empty())
    model.cautions.push_back(
        SeriesText(names.words, "caution.none_operated", {options.filter.operator_code}));
  else if (selected.cases.empty())
    return Error{ErrorCode::kNotComputable,
                 fmt::format("No reviewed case under '{}' passes the filter.{}{}", folder,
                             model.cautions.empty() ? "" : " ", JoinText(model.cautions, " "))};
  model.filter = options.filter;
  model.by = options.by;
  model.level = options.level;
  model.folder = folder;
  model.cases = selected.cases;
  NameGroups(model, options, names.words);
  const std::vector<double> own_totals = OwnTotals(selected, model);
  AFTERSCOPE_ASSIGN(const std::vector<IndexMeasure> all, index.Measures());
  for (const IndexMeasure& kind : MeasuresToShow(all, options, selected, names)) {
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
    CompareGroups(measure, model, names.words);
    DescribeMeasure(measure, model, names.words);
    model.measures.push_back(std::move(measure));
  }
  const std::vector<std::vector<TimedVisit>> operations = OperationsOf(selected);
  model.take_overs = CountTakeOvers(selected, operations);
  model.passages = PassagesBetween(operations);
  PutInOrder(model.passages, model.measures);
  for (const StepPassage& passage : model.passages)
    for (const std::string& step : {passage.from, passage.to}) model.step_names[step] = names.OfStep(step);
  DescribePassages(model, names.words);
  NoteUndated(model, names.words);
  AddOutcomes(model, RisksOf(selected.records), options, names.words);
  DescribeSums(model, names.words);
  DescribeCases(model, names.words);
  return model;
}

}  // namespace afterscope
