// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/timed_visits.hpp"
#include "annotate/report/build/parts.hpp"

#include <algorithm>
#include <set>

namespace afterscope {

namespace {

constexpr int kFewCases = 8;  // fewer show a range, not a trend

double ValueOr(const Finding* finding, double otherwise) {
  return finding && finding->measured.estimate ? finding->measured.estimate->value : otherwise;
}

double Median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2;
}

std::optional<EarlierTimes> EarlierOf(const ReportBuild& build, const std::string& step) {
  std::vector<double> times;
  for (const EarlierCase& earlier : build.in.earlier)
    for (const Finding& finding : earlier.findings)
      if (finding.name == "time.step_total" && finding.step == step &&
          finding.operator_code == build.OwnCode() && finding.measured.estimate &&
          finding.measured.estimate->value > 0)
        times.push_back(finding.measured.estimate->value);
  if (times.empty()) return std::nullopt;
  const auto [low, high] = std::minmax_element(times.begin(), times.end());
  return EarlierTimes{static_cast<int>(times.size()), Median(times), *low, *high};
}

void AddVisits(const ReportBuild& build, StepRow& row) {
  const std::vector<const StepVisit*> lane = FirstLane(build.in.review);
  const std::vector<TimedVisit> parts = TimedVisits(build.in.record, build.in.review, build.clock);
  for (const JoinedVisit& visit : JoinedVisits(parts)) {
    if (visit.step != row.key) continue;
    row.starts.push_back(build.FrameOf(lane[visit.parts.front()]->start));
    row.own_visits += IsOf(visit, parts, build.OwnCode());
  }
}

StepRow RowOf(const ReportBuild& build, const std::string& step) {
  StepRow row;
  row.key = step;
  row.name = build.in.steps.NameOf(step);
  row.order = StepOrder(build, step);
  const Finding* own = build.Find("time.step_total", step, build.OwnCode());
  row.own_seconds = ValueOr(own, 0);
  if (own) row.own_limits = own->measured.estimate;
  row.others_seconds =
      std::max(0.0, ValueOr(build.Find("time.step_total", step), row.own_seconds) - row.own_seconds);
  row.longest_seconds = ValueOr(build.Find("time.step_longest", step, build.OwnCode()), row.own_seconds);
  AddVisits(build, row);
  row.first_start_seconds = row.starts.front().case_seconds;
  row.earlier = EarlierOf(build, step);
  return row;
}

// How many earlier cases have any step of this operator.
int CasesWithSteps(const ReportBuild& build) {
  return static_cast<int>(
      std::count_if(build.in.earlier.begin(), build.in.earlier.end(), [&](const EarlierCase& c) {
        return std::any_of(c.findings.begin(), c.findings.end(), [&](const Finding& f) {
          return f.name == "time.step_total" && f.operator_code == build.OwnCode() && f.measured.estimate;
        });
      }));
}

void AddNotes(ReportBuild& build) {
  std::vector<std::string>& notes = build.model.step_notes;
  const int cases = build.model.earlier_cases;
  if (cases == 0) notes.push_back(build.Text("steps.earlier.none"));
  if (cases == 1) notes.push_back(build.Text("steps.earlier.one_only"));
  if (cases > 1 && cases < kFewCases)
    notes.push_back(build.Filled("steps.earlier.few", std::to_string(cases)));
  notes.push_back(build.Text("steps.own_only"));
}

}  // namespace

void FillSteps(ReportBuild& build) {
  std::set<std::string> done;
  for (const StepVisit& visit : build.in.review.visits)
    if (visit.lane == 0 && done.insert(visit.step).second)
      build.model.steps.push_back(RowOf(build, visit.step));
  build.model.earlier_cases = CasesWithSteps(build);
  if (!build.model.steps.empty()) AddNotes(build);
}

}  // namespace afterscope
