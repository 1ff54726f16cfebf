// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/timed_visits.hpp"
#include "annotate/jobs/measure/measure_context.hpp"
#include "metrics/timing/step_times.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

namespace afterscope {
namespace {

const char* const kTimeMethod =
    "frame timestamps on the case clock, visits [start, end) of the first lane; limits from the frame "
    "interval";

std::vector<TimedVisit> VisitsWithFrames(const MeasureContext& context) {
  std::vector<TimedVisit> out = TimedVisits(context.record, context.review, context.clock);
  const std::vector<const StepVisit*> lane = FirstLane(context.review);
  for (std::size_t i = 0; i < out.size(); ++i) out[i].frame = context.FrameSeconds(lane[i]->start);
  return out;
}

class TimeFindings {
 public:
  TimeFindings(const MeasureContext& context, std::vector<Finding>& out) : context_(context), out_(out) {}

  void Seconds(const char* name, const Estimate& estimate, const Origin& origin) {
    Add(name, estimate, "s", origin);
  }
  void Count(const char* name, int count, const Origin& origin) {
    const double v = count;
    Add(name, Estimate{v, v, v}, "count", origin);
  }
  void Share(const char* name, const Estimate& estimate, const Origin& origin) {
    Add(name, estimate, "1", origin);
  }
  void None(const char* name, const char* unit, const char* reason) {
    out_.push_back(MakeFinding(context_, name, NotMeasured(unit, kTimeMethod, reason), {}));
  }

 private:
  void Add(const char* name, const Estimate& estimate, const char* unit, const Origin& origin) {
    out_.push_back(MakeFinding(context_, name, {estimate, unit, kTimeMethod, {}}, origin));
  }
  const MeasureContext& context_;
  std::vector<Finding>& out_;
};

void AddStep(const std::vector<TimedVisit>& visits, const std::string& step,
             const std::optional<std::string>& who, TimeFindings& add) {
  const auto times = MeasureStep(visits, step, who);
  if (!times) return;
  Origin origin;
  origin.step = step;
  origin.operator_code = who;
  add.Seconds("time.step_total", times->total, origin);
  add.Count("time.step_visits", times->visits, origin);
  add.Seconds("time.step_longest", times->longest, origin);
  if (!who) add.Seconds("time.step_first_start", times->first_start, origin);
}

// Steps in the order of the list, then words of the user's own in order of their first start.
std::vector<std::string> StepsInOrder(const MeasureContext& context, const std::vector<TimedVisit>& visits) {
  std::vector<std::string> out;
  const auto done = [&](const std::string& step) {
    return std::any_of(visits.begin(), visits.end(), [&](const TimedVisit& v) { return v.step == step; });
  };
  for (const StepKind& kind : context.steps.steps)
    if (done(kind.key)) out.push_back(kind.key);
  for (const TimedVisit& v : visits)
    if (std::find(out.begin(), out.end(), v.step) == out.end()) out.push_back(v.step);
  return out;
}

void AddOperators(const std::vector<TimedVisit>& visits, const std::set<std::string>& operators,
                  TimeFindings& add) {
  for (const std::string& who : operators) {
    const auto times = MeasureOperator(visits, who);
    if (!times) continue;
    Origin origin;
    origin.operator_code = who;
    add.Seconds("time.operator_total", times->total, origin);
    add.Share("time.operator_share", times->share, origin);
  }
}

void AddWhole(const std::vector<TimedVisit>& visits, TimeFindings& add) {
  const auto whole = MeasureWhole(visits);
  if (!whole) {
    for (const char* name : {"time.whole", "time.gaps_total", "time.gap_longest"})
      add.None(name, "s", "no step is tagged");
    for (const char* name : {"time.gaps", "time.take_overs"}) add.None(name, "count", "no step is tagged");
    return;
  }
  add.Seconds("time.whole", whole->whole, {});
  add.Seconds("time.gaps_total", whole->gaps_total, {});
  if (whole->gap_longest)
    add.Seconds("time.gap_longest", *whole->gap_longest, {});
  else
    add.None("time.gap_longest", "s", "there is no gap between the steps");
  add.Count("time.gaps", whole->gaps, {});
  add.Count("time.take_overs", whole->take_overs, {});
}

}  // namespace

void MeasureTimes(const MeasureContext& context, std::vector<Finding>& out) {
  const std::vector<TimedVisit> visits = VisitsWithFrames(context);
  std::map<std::string, std::vector<TimedVisit>> by_step;
  std::set<std::string> operators;
  for (const TimedVisit& v : visits) {
    by_step[v.step].push_back(v);
    operators.insert(v.operator_code);
  }
  TimeFindings add(context, out);
  for (const std::string& step : StepsInOrder(context, visits)) {
    const std::vector<TimedVisit>& own = by_step[step];
    std::set<std::string> by;
    for (const TimedVisit& v : own) by.insert(v.operator_code);
    AddStep(own, step, std::nullopt, add);
    for (const std::string& who : by) AddStep(own, step, who, add);
  }
  AddWhole(visits, add);
  AddOperators(visits, operators, add);
  if (context.record.recordings.empty())
    add.None("time.recorded", "s", "the case has no recording");
  else
    add.Seconds("time.recorded",
                {context.clock.TotalSeconds(), context.clock.TotalSeconds(), context.clock.TotalSeconds()},
                {});
}

}  // namespace afterscope
