// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_options.hpp"
#include "annotate/store/index/index_rows.hpp"
#include "metrics/base/estimate.hpp"
#include "metrics/series/control_chart.hpp"
#include "metrics/series/cusum_chart.hpp"
#include "metrics/series/hodges_lehmann.hpp"
#include "metrics/series/learning_curve.hpp"
#include "metrics/series/mann_kendall.hpp"
#include "metrics/series/percentile_rank.hpp"
#include "metrics/series/pettitt.hpp"
#include "metrics/series/rank_sum.hpp"
#include "metrics/series/risk_adjusted_cusum.hpp"
#include "metrics/series/run_chart.hpp"
#include "metrics/series/stratified_difference.hpp"
#include "metrics/series/tabular_cusum.hpp"
#include "metrics/series/theil_sen.hpp"
#include "metrics/timing/step_passages.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A figure, or the reason in words why there is none.
template <class T>
struct Computed {
  std::optional<T> value;
  std::string reason;
};

// A case of the series.
struct SeriesCase {
  std::string folder, code, date, eye, operator_code, operator_role, review, reviewer_code, review_kind;
  std::vector<std::string> difficulty;
  std::string group;  // empty without groups
  int number = 0;     // of its operator, from 1: the case's own field case_number, or counted by date
  bool complications_known = false;
  std::vector<IndexMoment> complications;         // the operator's own
  std::vector<IndexMoment> others_complications;  // that arose while others operated
  std::int64_t review_id = 0;                     // in the index
};

struct SeriesPoint {
  std::size_t at = 0;  // which case of the series
  double value = 0;
  double low = 0;
  double high = 0;
  bool shared = false;  // others had the instruments for a part of the step
  std::optional<FrameRef> frame;
};

struct SeriesGroup {
  std::string name;
  std::size_t n = 0;
  Computed<Quartiles> quartiles;
  Computed<double> mean;
  Computed<double> sd;
};

// A group against the reference group.
struct SeriesComparison {
  std::string reference;
  std::string group;
  Computed<GroupDifference> difference;  // group less reference
  Computed<RankSum> test;
  Computed<StratifiedDifference> adjusted;  // each case only with cases of its own difficulty
};

// One figure over the cases of a series, in order of date.
struct SeriesMeasure {
  std::string name;
  std::string step;  // key of the step, name of the incision, instrument; or empty
  std::string label;
  std::string unit;
  std::vector<SeriesPoint> points;
  int missing = 0;    // cases without it
  int by_others = 0;  // cases in which it was wholly someone else's
  int shared = 0;     // points to which others contributed
  Computed<Quartiles> quartiles;
  Computed<double> mean;
  Computed<double> sd;
  Computed<RunChart> run_chart;
  Computed<ControlChart> control_chart;
  Computed<TheilSen> trend;  // change per case
  Computed<MannKendall> direction;
  Computed<LearningCurve> learning;
  Computed<ChangePoint> change;
  Computed<Quartiles> share;  // of a step: of the operator's step time of each case, 0 to 1
  std::vector<SeriesGroup> groups;
  std::vector<SeriesComparison> comparisons;
  Computed<PercentileRank> latest;  // the latest case's value against the reference group, else the others
  std::vector<std::string> said;    // in words for the reader
  std::string legend;               // what its chart shows; empty: it has none
};

struct SeriesComplication {
  std::string key;
  std::string name;
  int cases = 0;  // with it
  Computed<Estimate> share;
};

// One form of a cumulative sum, and what it says in words; both texts are empty without a chart.
struct SeriesSum {
  Computed<CusumChart> chart;
  std::string meaning;  // of its latest signal, or that there is none
  std::string design;   // its parameters and limits
};

struct SeriesCusum {
  CusumPlan plan;
  TabularDesign tabular_design;
  RiskAdjustedDesign adjusted_design;
  std::vector<std::size_t> cases;  // that count
  std::vector<Outcome> outcomes;
  SeriesSum sequential;
  SeriesSum tabular;
  SeriesSum risk_adjusted;   // over the cases that have a field `risk`; at others it stands still
  int without_risk = 0;      // those others
  int failures_without = 0;  // among them
};

// Cases alike in difficulty.
struct SeriesStratum {
  std::string name;
  int cases = 0;
  Computed<Quartiles> whole_s;  // of the whole operation
  int complications_known = 0;
  int with_complication = 0;
  Computed<Estimate> share;
};

struct SeriesModel {
  SeriesFilter filter;
  std::string by;
  std::string folder;
  double level = 0.95;            // of all limits
  std::vector<SeriesCase> cases;  // in order of date
  std::vector<std::string> operators;
  std::vector<std::string> groups;  // the reference first
  std::vector<SeriesMeasure> measures;
  std::vector<StepPassage> passages;
  std::map<std::string, std::string> step_names;  // of the steps in them, by key
  int take_overs = 0;                             // visits in which others had the instruments
  double taken_over_s = 0;
  int complications_known = 0;  // cases of which somebody said
  std::vector<SeriesComplication> complications;
  std::vector<SeriesCusum> cusums;
  std::vector<SeriesStratum> strata;
  // What is said of them all, a line each.
  std::vector<std::string> complications_said;
  std::vector<std::string> mix_said;
  std::vector<std::string> passages_said;
  std::vector<std::string> cautions;
};

}  // namespace afterscope
