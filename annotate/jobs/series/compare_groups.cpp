// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/jobs/series/computed.hpp"
#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/report/series/series_report.hpp"
#include "metrics/series/checks.hpp"
#include "metrics/series/descriptive.hpp"

#include <algorithm>
#include <map>

namespace afterscope {
namespace {

std::vector<double> ValuesOfGroup(const SeriesMeasure& measure, const SeriesModel& model,
                                  const std::string& group) {
  std::vector<double> values;
  for (const SeriesPoint& point : measure.points)
    if (model.cases[point.at].group == group) values.push_back(point.value);
  return values;
}

SeriesGroup GroupFrom(const std::string& name, const std::vector<double>& values) {
  SeriesGroup group;
  group.name = name;
  group.n = values.size();
  group.quartiles = ComputedFrom(QuartilesOf(values));
  group.mean = ComputedFrom(Mean(values));
  group.sd = ComputedFrom(StandardDeviation(values));
  return group;
}

// Strata by the difficulties that were noted, so that a hard case stands against hard ones.
std::vector<Stratum> StrataOf(const SeriesMeasure& measure, const SeriesModel& model, const std::string& a,
                              const std::string& b) {
  std::map<std::string, Stratum> strata;
  for (const SeriesPoint& point : measure.points) {
    const SeriesCase& entry = model.cases[point.at];
    Stratum& stratum = strata[StratumOf(entry.difficulty)];
    if (entry.group == a) stratum.a.push_back(point.value);
    if (entry.group == b) stratum.b.push_back(point.value);
  }
  std::vector<Stratum> list;
  list.reserve(strata.size());
  for (auto& [name, stratum] : strata) list.push_back(std::move(stratum));
  return list;
}

SeriesComparison Compare(const SeriesMeasure& measure, const SeriesModel& model, const std::string& reference,
                         const std::string& group, const ReportWords& words) {
  const std::vector<double> a = ValuesOfGroup(measure, model, reference);
  const std::vector<double> b = ValuesOfGroup(measure, model, group);
  SeriesComparison out;
  out.reference = reference;
  out.group = group;
  std::vector<double> both = a;
  both.insert(both.end(), b.begin(), b.end());
  if (!a.empty() && !b.empty() && AllEqual(both)) {
    out.difference.reason = out.test.reason = SeriesText(words, "said.equal_groups");
    return out;
  }
  out.difference = ComputedFrom(HodgesLehmannDifference(a, b, model.level));
  out.test = ComputedFrom(RankSumTest(a, b));
  if (model.by == "difficulty")
    out.adjusted.reason = "The groups are the strata themselves.";
  else
    out.adjusted = ComputedFrom(CompareWithinStrata(StrataOf(measure, model, reference, group), model.level));
  return out;
}

// Against the reference group; without groups against all earlier cases.
Computed<PercentileRank> LatestOf(const SeriesMeasure& measure, const SeriesModel& model) {
  if (measure.points.empty()) return {std::nullopt, "There is no case with this value."};
  if (std::any_of(measure.points.begin(), measure.points.end(),
                  [&](const SeriesPoint& point) { return model.cases[point.at].date.empty(); }))
    return {std::nullopt, "Some cases have no date, so none is the latest."};
  const SeriesPoint& latest = measure.points.back();
  std::vector<double> reference;
  for (const SeriesPoint& point : measure.points)
    if (&point != &latest && (model.groups.empty() || model.cases[point.at].group == model.groups.front()))
      reference.push_back(point.value);
  if (reference.empty()) return {std::nullopt, "There is no other case to set the latest one against."};
  return ComputedFrom(PercentileAgainst(reference, latest.value, model.level));
}

}  // namespace

void CompareGroups(SeriesMeasure& measure, const SeriesModel& model, const ReportWords& words) {
  for (const std::string& name : model.groups)
    measure.groups.push_back(GroupFrom(name, ValuesOfGroup(measure, model, name)));
  for (std::size_t i = 1; i < model.groups.size(); ++i)
    measure.comparisons.push_back(Compare(measure, model, model.groups.front(), model.groups[i], words));
  measure.latest = LatestOf(measure, model);
}

}  // namespace afterscope
