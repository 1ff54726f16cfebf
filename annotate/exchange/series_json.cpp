// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/series_json.hpp"

#include "annotate/exchange/computed_json.hpp"
#include "annotate/exchange/finding_json.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <utility>

namespace afterscope {
namespace {

using exchange::From;
using exchange::Json;
using exchange::LimitedFrom;
using exchange::ListOf;

Json From(const RunChart& run) {
  return {{"judged", run.judged},
          {"shift", run.shift},
          {"longest_run", run.longest_run},
          {"longest_usual", run.longest_usual},
          {"crossings", run.crossings},
          {"fewest_usual", run.fewest_usual},
          {"method", run.method}};
}
Json From(const ControlChart& chart) {
  Json out = Json::array();
  for (std::size_t i = 0; i < chart.points.size(); ++i) {
    Json rules = Json::array();
    for (const ControlRule rule : chart.points[i].rules) rules.push_back(RuleWords(rule));
    if (!rules.empty()) out.push_back({{"point", i}, {"rules", rules}});
  }
  return {{"centre", chart.centre},    {"lower", chart.lower}, {"upper", chart.upper},
          {"sigma", chart.sigma},      {"stand_out", out},     {"method", chart.method},
          {"cautions", chart.cautions}};
}
Json From(const TheilSen& line) {
  return {{"slope_per_case", LimitedFrom(line.slope, line.has_limits)},
          {"intercept", line.intercept_of_medians},
          {"method", line.method},
          {"cautions", line.cautions}};
}
Json From(const MannKendall& trend) {
  return {{"s", trend.s},     {"z", trend.z},           {"p", trend.p},
          {"tau", trend.tau}, {"method", trend.method}, {"cautions", trend.cautions}};
}
Json From(const PowerLaw& law) {
  return {{"a", From(law.a)},
          {"b", From(law.b)},
          {"ratio_per_doubling", From(law.ratio_per_doubling)},
          {"method", law.method}};
}
Json From(const LearningCurve& curve) {
  const bool judged = curve.verdict != LearningVerdict::kTooFewCases;
  constexpr const char* kVerdicts[] = {"too few cases", "no change", "falling", "rising"};
  return {{"verdict", kVerdicts[static_cast<int>(curve.verdict)]},
          {"n", curve.n},
          {"curve", curve.curve ? From(*curve.curve) : Json()},
          {"level_line", judged ? Json(curve.level_line) : Json()},
          {"p", judged ? Json(curve.p) : Json()},
          {"fewest_cases", curve.fewest_cases},
          {"method", curve.method},
          {"cautions", curve.cautions}};
}
Json From(const ChangePoint& change) {
  return {{"last_before", change.last_before},
          {"p", change.p},
          {"median_before", change.median_before},
          {"median_after", change.median_after},
          {"method", change.method},
          {"cautions", change.cautions}};
}
Json From(const GroupDifference& d) {
  return {{"difference", LimitedFrom(d.difference, d.has_limits)},
          {"method", d.method},
          {"cautions", d.cautions}};
}
Json From(const RankSum& test) {
  return {{"u", test.u},
          {"share", test.share},
          {"p", test.p},
          {"method", test.method},
          {"cautions", test.cautions}};
}
Json From(const StratifiedDifference& d) {
  return {{"difference", LimitedFrom(d.difference, d.has_limits)},
          {"p", d.p},
          {"strata", d.strata},
          {"left_out", d.left_out},
          {"method", d.method},
          {"cautions", d.cautions}};
}
Json From(const PercentileRank& rank) {
  return {{"percentile", From(rank.percentile)},
          {"n", rank.n},
          {"method", rank.method},
          {"cautions", rank.cautions}};
}
Json From(const CusumChart& chart) {
  constexpr const char* kSignals[] = {"none", "worse", "acceptable", "better", "learned"};
  Json scores = Json::array();
  for (const CusumPoint& point : chart.points) scores.push_back(point.score);
  return {{"scores", scores},
          {"upper", chart.upper ? Json(*chart.upper) : Json()},
          {"lower", chart.lower ? Json(*chart.lower) : Json()},
          {"latest", kSignals[static_cast<int>(chart.latest)]},
          {"latest_case", chart.latest_case ? Json(*chart.latest_case) : Json()},
          {"method", chart.method},
          {"cautions", chart.cautions}};
}

template <class T>
void Put(Json& out, const char* name, const Computed<T>& figure) {
  exchange::Put(out, name, figure, [](const T& value) { return From(value); });
}

Json MomentsJson(const std::vector<IndexMoment>& moments) {
  Json out = Json::array();
  for (const IndexMoment& m : moments)
    out.push_back({{"key", m.key},
                   {"step", m.step},
                   {"operator", m.operator_code},
                   {"words", m.words},
                   {"frame", JsonFromFrame(m.at)}});
  return out;
}

Json CaseJson(const SeriesCase& entry) {
  return {{"code", entry.code},
          {"date", entry.date},
          {"folder", entry.folder},
          {"operator", entry.operator_code},
          {"role", entry.operator_role},
          {"number", entry.number > 0 ? Json(entry.number) : Json()},
          {"eye", entry.eye},
          {"difficulty", entry.difficulty},
          {"group", entry.group},
          {"review", entry.review},
          {"reviewer", entry.reviewer_code},
          {"kind", entry.review_kind},
          {"complications_known", entry.complications_known},
          {"complications", MomentsJson(entry.complications)},
          {"complications_of_others", MomentsJson(entry.others_complications)}};
}

Json PointJson(const SeriesPoint& point) {
  return {{"case", point.at},       {"value", point.value},
          {"low", point.low},       {"high", point.high},
          {"shared", point.shared}, {"frame", point.frame ? JsonFromFrame(*point.frame) : Json()}};
}

Json GroupJson(const SeriesGroup& group) {
  Json out{{"name", group.name}, {"n", group.n}};
  Put(out, "quartiles", group.quartiles);
  Put(out, "mean", group.mean);
  Put(out, "sd", group.sd);
  return out;
}

Json ComparisonJson(const SeriesComparison& comparison) {
  Json out{{"reference", comparison.reference}, {"group", comparison.group}};
  Put(out, "difference", comparison.difference);
  Put(out, "rank_sum", comparison.test);
  Put(out, "adjusted_for_difficulty", comparison.adjusted);
  return out;
}

Json MeasureJson(const SeriesMeasure& m) {
  Json out{{"name", m.name},
           {"step", m.step.empty() ? Json() : Json(m.step)},
           {"label", m.label},
           {"unit", m.unit},
           {"n", m.points.size()},
           {"missing", m.missing},
           {"by_others", m.by_others},
           {"shared", m.shared},
           {"said", m.said}};
  Put(out, "quartiles", m.quartiles);
  Put(out, "mean", m.mean);
  Put(out, "sd", m.sd);
  if (m.name == "time.step_total") Put(out, "share_of_step_time", m.share);
  Put(out, "run_chart", m.run_chart);
  Put(out, "control_chart", m.control_chart);
  Put(out, "trend", m.trend);
  Put(out, "direction", m.direction);
  Put(out, "learning_curve", m.learning);
  Put(out, "change_point", m.change);
  Put(out, "latest_percentile", m.latest);
  out["groups"] = ListOf(m.groups, GroupJson);
  out["comparisons"] = ListOf(m.comparisons, ComparisonJson);
  out["values"] = ListOf(m.points, PointJson);
  return out;
}

Json PassageJson(const StepPassage& passage) {
  return {{"from", passage.from.empty() ? Json() : Json(passage.from)},
          {"to", passage.to.empty() ? Json() : Json(passage.to)},
          {"count", passage.count},
          {"share", passage.share},
          {"gap_s", passage.gap_s ? From(*passage.gap_s) : Json()}};
}

Json ComplicationJson(const SeriesComplication& complication) {
  Json out{{"key", complication.key}, {"name", complication.name}, {"cases", complication.cases}};
  Put(out, "share", complication.share);
  return out;
}

void PutSum(Json& out, const char* name, const SeriesSum& sum) {
  Put(out, name, sum.chart);
  if (!sum.chart.value) return;
  out[name]["design"] = sum.design;
  out[name]["words"] = sum.meaning;
}

Json CusumJson(const SeriesCusum& cusum) {
  Json failures = Json::array();
  for (const Outcome outcome : cusum.outcomes) failures.push_back(outcome == Outcome::kFailure ? 1 : 0);
  Json out{{"title", cusum.plan.title},
           {"complications", cusum.plan.complications},
           {"step", cusum.plan.step},
           {"limit_s", cusum.plan.limit_s},
           {"acceptable", cusum.plan.design.acceptable},
           {"unacceptable", cusum.plan.design.unacceptable},
           {"alpha", cusum.plan.design.alpha},
           {"beta", cusum.plan.design.beta},
           {"cases", cusum.cases},
           {"failures", failures},
           {"cases_without_risk", cusum.without_risk},
           {"failures_without_risk", cusum.failures_without}};
  PutSum(out, "sequential", cusum.sequential);
  PutSum(out, "tabular", cusum.tabular);
  PutSum(out, "risk_adjusted", cusum.risk_adjusted);
  return out;
}

Json StratumJson(const SeriesStratum& stratum) {
  Json out{{"name", stratum.name},
           {"cases", stratum.cases},
           {"complications_known", stratum.complications_known},
           {"with_complication", stratum.with_complication}};
  Put(out, "whole_s", stratum.whole_s);
  Put(out, "share", stratum.share);
  return out;
}

Json FilterJson(const SeriesFilter& f) {
  Json out = Json::object();
  const std::pair<const char*, const std::string&> parts[] = {{"operator", f.operator_code},
                                                              {"from", f.from},
                                                              {"to", f.to},
                                                              {"eye", f.eye},
                                                              {"operation", f.operation},
                                                              {"step_list", f.step_list},
                                                              {"role", f.operator_role},
                                                              {"difficulty", f.difficulty},
                                                              {"complication", f.complication},
                                                              {"reviewer", f.reviewer_code},
                                                              {"kind", f.kind}};
  for (const auto& [name, value] : parts)
    if (!value.empty()) out[name] = value;
  if (!f.extra.empty()) out["extra"] = f.extra;
  return out;
}

}  // namespace

Json JsonFromSeries(const SeriesModel& model) {
  return {{"folder", model.folder},
          {"filter", FilterJson(model.filter)},
          {"by", model.by},
          {"operators", model.operators},
          {"groups", model.groups},
          {"cases", ListOf(model.cases, CaseJson)},
          {"measures", ListOf(model.measures, MeasureJson)},
          {"passages", ListOf(model.passages, PassageJson)},
          {"take_overs", {{"visits", model.take_overs}, {"seconds", model.taken_over_s}}},
          {"complications_known", model.complications_known},
          {"complications", ListOf(model.complications, ComplicationJson)},
          {"cusums", ListOf(model.cusums, CusumJson)},
          {"strata", ListOf(model.strata, StratumJson)},
          {"cautions", model.cautions}};
}

}  // namespace afterscope
