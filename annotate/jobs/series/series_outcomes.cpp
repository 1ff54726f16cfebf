// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/series/build_series.hpp"
#include "annotate/jobs/series/computed.hpp"
#include "annotate/jobs/series/select_cases.hpp"
#include "annotate/report/series/series_report.hpp"
#include "annotate/store/step_list_file.hpp"
#include "metrics/series/proportion.hpp"
#include "metrics/series/quantiles.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <functional>
#include <map>
#include <set>

namespace afterscope {
namespace {

bool Has(const SeriesCase& entry, const std::vector<std::string>& keys) {
  return std::any_of(entry.complications.begin(), entry.complications.end(), [&](const IndexMoment& moment) {
    return std::find(keys.begin(), keys.end(), moment.key) != keys.end();
  });
}

// What the supervisor did is no complication of the eye.
bool HasAny(const SeriesCase& entry) {
  return std::any_of(entry.complications.begin(), entry.complications.end(),
                     [](const IndexMoment& moment) { return moment.key != "take_over"; });
}

Computed<Estimate> ShareOf(int count, int of, double level) {
  if (of == 0) return {std::nullopt, "Of no case is it known whether there was one."};
  return ComputedFrom(WilsonProportion(count, of, level));
}

void AddComplications(SeriesModel& model, const SeriesOptions& options, const ReportWords& words) {
  std::map<std::string, int> counts;
  for (const SeriesCase& entry : model.cases) {
    if (!entry.complications_known) continue;
    ++model.complications_known;
    std::set<std::string> keys;
    for (const IndexMoment& moment : entry.complications) keys.insert(moment.key);
    for (const std::string& key : keys) ++counts[key];
  }
  const auto named = LoadNamedKeys(options.assets_folder + "/complications.json", "complications");
  const auto name_of = [&](const std::string& key) {
    if (named.ok())
      for (const NamedKey& known : *named)
        if (known.key == key) return known.name;
    return key.empty() ? SeriesText(words, "complications.unnamed") : key;
  };
  for (const auto& [key, count] : counts)
    model.complications.push_back(
        {key, name_of(key), count, ShareOf(count, model.complications_known, options.level)});
  const int left = static_cast<int>(model.cases.size()) - model.complications_known;
  if (left == 1) model.cautions.push_back(SeriesText(words, "caution.unsaid_one"));
  if (left > 1) model.cautions.push_back(SeriesText(words, "caution.unsaid", {fmt::format("{}", left)}));
}

const SeriesMeasure* MeasureOf(const SeriesModel& model, const std::string& name, const std::string& step) {
  for (const SeriesMeasure& measure : model.measures)
    if (measure.name == name && measure.step == step) return &measure;
  return nullptr;
}

// Keys of complications whose meaning is known.
using KnownKeys = std::set<std::string>;

// Those of the assets and of the plan's sums; empty where the assets can't be read.
KnownKeys KnownKeysOf(const SeriesOptions& options) {
  KnownKeys known;
  const auto named = LoadNamedKeys(options.assets_folder + "/complications.json", "complications");
  if (!named.ok()) return known;
  for (const NamedKey& entry : *named) known.insert(entry.key);
  for (const CusumPlan& plan : options.plan.cusums)
    known.insert(plan.complications.begin(), plan.complications.end());
  return known;
}

// Whether a complication of the case may be any: its key is not known, or it has none.
bool HasUnknown(const SeriesCase& entry, const KnownKeys& known) {
  return !known.empty() &&
         std::any_of(entry.complications.begin(), entry.complications.end(),
                     [&](const IndexMoment& moment) { return !known.contains(moment.key); });
}

void NoteUnknown(SeriesModel& model, const SeriesOptions& options, const KnownKeys& known,
                 const ReportWords& words) {
  const bool summed = std::any_of(options.plan.cusums.begin(), options.plan.cusums.end(),
                                  [](const CusumPlan& plan) { return !plan.complications.empty(); });
  std::set<std::string> keys;
  int cases = 0;
  for (const SeriesCase& entry : model.cases) {
    if (!summed || !HasUnknown(entry, known)) continue;
    ++cases;
    for (const IndexMoment& moment : entry.complications)
      if (!known.contains(moment.key))
        keys.insert(moment.key.empty() ? SeriesText(words, "complications.unnamed") : moment.key);
  }
  const std::string named = fmt::format("{}", fmt::join(keys, ", "));
  if (cases == 1) model.cautions.push_back(SeriesText(words, "caution.unknown_key_one", {named}));
  if (cases > 1)
    model.cautions.push_back(SeriesText(words, "caution.unknown_key", {fmt::format("{}", cases), named}));
}

// Cases that count for a sum of complications, and how each went.
void TakeComplications(SeriesCusum& cusum, const SeriesModel& model, const KnownKeys& known) {
  for (std::size_t i = 0; i < model.cases.size(); ++i) {
    const SeriesCase& entry = model.cases[i];
    const bool failed = Has(entry, cusum.plan.complications);
    if (!entry.complications_known || (!failed && HasUnknown(entry, known))) continue;
    cusum.cases.push_back(i);
    cusum.outcomes.push_back(failed ? Outcome::kFailure : Outcome::kSuccess);
  }
}

// Cases that count for a plan, and how each went.
void TakeOutcomes(SeriesCusum& cusum, const SeriesModel& model, const KnownKeys& known) {
  const CusumPlan& plan = cusum.plan;
  if (!plan.complications.empty()) return TakeComplications(cusum, model, known);
  const SeriesMeasure* measure =
      MeasureOf(model, plan.step.empty() ? "time.whole" : "time.step_total", plan.step);
  if (!measure) return;
  for (const SeriesPoint& point : measure->points) {
    if (point.shared) continue;
    cusum.cases.push_back(point.at);
    cusum.outcomes.push_back(point.value > plan.limit_s ? Outcome::kFailure : Outcome::kSuccess);
  }
}

// The cases that count whose chance of failure was entered.
struct WithRisk {
  std::vector<std::size_t> places;  // among those that count
  std::vector<Outcome> outcomes;
  std::vector<double> risks;
};

WithRisk WithRiskOf(const SeriesCusum& cusum, const std::vector<std::optional<double>>& risks) {
  WithRisk with;
  for (std::size_t i = 0; i < cusum.cases.size(); ++i) {
    if (!risks[cusum.cases[i]]) continue;
    with.places.push_back(i);
    with.outcomes.push_back(cusum.outcomes[i]);
    with.risks.push_back(*risks[cusum.cases[i]]);
  }
  return with;
}

// The sum of some cases among `count`; at those passed over it stands still.
CusumChart Spread(const CusumChart& some, const std::vector<std::size_t>& places, std::size_t count) {
  CusumChart all = some;
  all.points.clear();
  std::size_t next = 0;
  CusumPoint still;
  for (std::size_t i = 0; i < count; ++i) {
    if (next < places.size() && places[next] == i) {
      all.points.push_back(some.points[next++]);
      const bool anew = all.points.back().signal != CusumSignal::kNone;
      still = {anew ? 0 : all.points.back().score, CusumSignal::kNone, all.points.back().from};
    } else {
      all.points.push_back(still);
    }
  }
  for (auto* at : {&all.latest_case, &all.first_case})
    if (*at) *at = places[**at];
  return all;
}

void AddAdjusted(SeriesCusum& cusum, const std::vector<std::optional<double>>& risks,
                 const ReportWords& words) {
  const WithRisk with = WithRiskOf(cusum, risks);
  Computed<CusumChart>& chart = cusum.risk_adjusted.chart;
  if (cusum.plan.complications.empty() || with.places.empty()) {
    chart.reason = SeriesText(words, cusum.plan.complications.empty() ? "sum.not.time" : "sum.not.risk");
    return;
  }
  chart = ComputedFrom(RiskAdjustedCusum(with.outcomes, with.risks, cusum.adjusted_design));
  if (!chart.value) return;
  const auto failures = [](const std::vector<Outcome>& outcomes) {
    return static_cast<int>(std::count(outcomes.begin(), outcomes.end(), Outcome::kFailure));
  };
  cusum.without_risk = static_cast<int>(cusum.cases.size() - with.places.size());
  cusum.failures_without = failures(cusum.outcomes) - failures(with.outcomes);
  *chart.value = Spread(*chart.value, with.places, cusum.cases.size());
}

bool AreOfOnePerson(const SeriesModel& model) {
  return model.operators.size() < 2 || !model.filter.operator_code.empty();
}

// The key of the words that say why there is no sum; empty: there is one.
std::string WhyNoSum(const SeriesCusum& cusum, const SeriesModel& model) {
  if (!AreOfOnePerson(model)) return "sum.not.several";
  if (cusum.cases.empty()) return "sum.not.unknown";
  if (model.cases[cusum.cases.front()].date.empty()) return "sum.not.undated";
  return {};
}

SeriesCusum CusumOf(const CusumPlan& plan, const SeriesModel& model,
                    const std::vector<std::optional<double>>& risks, const KnownKeys& known,
                    const ReportWords& words) {
  SeriesCusum cusum;
  cusum.plan = plan;
  cusum.tabular_design.usual = plan.design.acceptable;
  cusum.tabular_design.changed = plan.design.unacceptable;
  if (AreOfOnePerson(model)) TakeOutcomes(cusum, model, known);
  if (const std::string why = WhyNoSum(cusum, model); !why.empty()) {
    for (SeriesSum* sum : {&cusum.sequential, &cusum.tabular, &cusum.risk_adjusted})
      sum->chart.reason = SeriesText(words, why);
    return cusum;
  }
  cusum.sequential.chart = ComputedFrom(SequentialCusum(cusum.outcomes, plan.design));
  cusum.tabular.chart = ComputedFrom(TabularCusum(cusum.outcomes, cusum.tabular_design));
  AddAdjusted(cusum, risks, words);
  return cusum;
}

SeriesStratum StratumFrom(const std::string& name, const SeriesModel& model, double level,
                          const std::function<bool(const SeriesCase&)>& in) {
  SeriesStratum stratum;
  stratum.name = name;
  for (const SeriesCase& entry : model.cases) {
    if (!in(entry)) continue;
    ++stratum.cases;
    if (!entry.complications_known) continue;
    ++stratum.complications_known;
    if (HasAny(entry)) ++stratum.with_complication;
  }
  std::vector<double> whole;
  if (const SeriesMeasure* measure = MeasureOf(model, "time.whole", ""))
    for (const SeriesPoint& point : measure->points)
      if (in(model.cases[point.at])) whole.push_back(point.value);
  stratum.whole_s = ComputedFrom(QuartilesOf(whole));
  stratum.share = ShareOf(stratum.with_complication, stratum.complications_known, level);
  return stratum;
}

void AddStrata(SeriesModel& model, const SeriesOptions& options) {
  for (const char* name : {"routine", "difficult"})
    model.strata.push_back(StratumFrom(name, model, options.level, [&](const SeriesCase& entry) {
      return std::string(StratumOf(entry.difficulty)) == name;
    }));
  const auto named = LoadNamedKeys(options.assets_folder + "/difficulty.json", "difficulties");
  std::map<std::string, std::string> keys;
  for (const SeriesCase& entry : model.cases)
    for (const std::string& key : entry.difficulty) keys[key] = key;
  if (named.ok())
    for (const NamedKey& known : *named)
      if (keys.contains(known.key)) keys[known.key] = known.name;
  for (const auto& [key, name] : keys)
    model.strata.push_back(StratumFrom(name, model, options.level, [&key = key](const SeriesCase& entry) {
      return std::find(entry.difficulty.begin(), entry.difficulty.end(), key) != entry.difficulty.end();
    }));
}

}  // namespace

void AddOutcomes(SeriesModel& model, const std::vector<std::optional<double>>& risks,
                 const SeriesOptions& options, const ReportWords& words) {
  AddComplications(model, options, words);
  const KnownKeys known = KnownKeysOf(options);
  NoteUnknown(model, options, known, words);
  for (const CusumPlan& plan : options.plan.cusums)
    model.cusums.push_back(CusumOf(plan, model, risks, known, words));
  AddStrata(model, options);
}

}  // namespace afterscope
