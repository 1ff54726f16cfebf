// SPDX-License-Identifier: Apache-2.0
#include "metrics/timing/step_times.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace afterscope {
namespace {

constexpr double kNormal975 = 1.959964;

// A boundary is set on the first frame that shows it: it lies evenly within the frame interval before it,
// whose standard deviation is the interval's by the root of 12. Limits of lengths, which have as many starts
// as ends; those of a single difference of two evenly spread boundaries are those of the triangular
// distribution.
Estimate WithBoundaries(double value, double frame, int boundaries) {
  const double triangular = 1 - std::sqrt(0.05);
  const double half = boundaries == 2 ? triangular : kNormal975 * std::sqrt(boundaries / 12.0);
  return {value, std::max(0.0, value - half * frame), value + half * frame};
}

// Of one boundary: the last 95 % of the interval before its frame, whose time stands for it.
Estimate OneBoundary(double value, double frame) {
  return {value, std::max(0.0, value - 0.95 * frame), value};
}

double Length(const TimedVisit& visit) { return std::max(0.0, visit.seconds.end - visit.seconds.start); }

// Boundaries of a set of visits that do not cancel: where one ends as the next starts, the shared boundary
// drops out.
int OpenBoundaries(const std::vector<const TimedVisit*>& visits) {
  std::multiset<double> starts, ends;
  for (const TimedVisit* v : visits) {
    starts.insert(v->seconds.start);
    ends.insert(v->seconds.end);
  }
  int open = 0;
  for (const double s : starts) open += ends.count(s) == 0;
  for (const double e : ends) open += starts.count(e) == 0;
  return open;
}

Estimate Total(const std::vector<const TimedVisit*>& visits) {
  double sum = 0, frame = 0;
  for (const TimedVisit* v : visits) {
    sum += Length(*v);
    frame = std::max(frame, v->frame);
  }
  return WithBoundaries(sum, frame, OpenBoundaries(visits));
}

// Half width of the share of one operator: how it changes with each boundary. One between two of his visits
// changes nothing, one between his and another's the most.
double ShareHalfWidth(const std::vector<TimedVisit>& visits, const std::string& operator_code, double share,
                      double whole) {
  std::map<double, double> change;  // of the share, by boundary
  double frame = 0;
  for (const TimedVisit& v : visits) {
    const double longer = (v.operator_code == operator_code ? 1 - share : -share) / whole;
    change[v.seconds.end] += longer;
    change[v.seconds.start] -= longer;
    frame = std::max(frame, v.frame);
  }
  double squares = 0;
  for (const auto& [boundary, by] : change) squares += by * by;
  return kNormal975 * frame * std::sqrt(squares / 12);
}

template <class Keep>
std::vector<const TimedVisit*> Select(const std::vector<TimedVisit>& visits, const Keep& keep) {
  std::vector<const TimedVisit*> out;
  for (const TimedVisit& v : visits)
    if (keep(v)) out.push_back(&v);
  return out;
}

}  // namespace

std::optional<StepTimes> MeasureStep(const std::vector<TimedVisit>& visits, const std::string& step,
                                     const std::optional<std::string>& operator_code) {
  const auto chosen = Select(visits, [&](const TimedVisit& v) {
    return v.step == step && (!operator_code || v.operator_code == *operator_code);
  });
  if (chosen.empty()) return std::nullopt;
  StepTimes out;
  const std::vector<JoinedVisit> joined = JoinedVisits(visits);
  out.visits = static_cast<int>(std::count_if(joined.begin(), joined.end(), [&](const JoinedVisit& visit) {
    return visit.step == step && (!operator_code || IsOf(visit, visits, *operator_code));
  }));
  out.total = Total(chosen);
  const auto* longest = *std::max_element(
      chosen.begin(), chosen.end(), [](const auto* a, const auto* b) { return Length(*a) < Length(*b); });
  const auto* first = *std::min_element(chosen.begin(), chosen.end(), [](const auto* a, const auto* b) {
    return a->seconds.start < b->seconds.start;
  });
  out.longest = WithBoundaries(Length(*longest), longest->frame, 2);
  out.first_start = OneBoundary(first->seconds.start, first->frame);
  return out;
}

std::optional<OperatorTimes> MeasureOperator(const std::vector<TimedVisit>& visits,
                                             const std::string& operator_code) {
  const auto own = Select(visits, [&](const TimedVisit& v) { return v.operator_code == operator_code; });
  const auto all = Select(visits, [](const TimedVisit&) { return true; });
  if (own.empty()) return std::nullopt;
  OperatorTimes out{Total(own), {}};
  const Estimate whole = Total(all);
  if (!(whole.value > 0)) return std::nullopt;
  const double share = out.total.value / whole.value;
  const double half = ShareHalfWidth(visits, operator_code, share, whole.value);
  out.share = {share, std::max(0.0, share - half), std::min(1.0, share + half)};
  return out;
}

std::optional<WholeTimes> MeasureWhole(std::vector<TimedVisit> visits) {
  if (visits.empty()) return std::nullopt;
  std::sort(visits.begin(), visits.end(),
            [](const TimedVisit& a, const TimedVisit& b) { return a.seconds.start < b.seconds.start; });
  WholeTimes out;
  double frame = 0, covered_to = visits.front().seconds.start, gaps = 0, longest = 0, before = covered_to;
  bool taken_over = false;
  for (const TimedVisit& v : visits) {
    frame = std::max(frame, v.frame);
    if (const double gap = v.seconds.start - covered_to; gap > 1e-9) {
      gaps += gap;
      longest = std::max(longest, gap);
      ++out.gaps;
    }
    covered_to = std::max(covered_to, v.seconds.end);
    out.take_overs += v.taken_over && !taken_over;
    taken_over = v.taken_over;
  }
  out.whole = WithBoundaries(covered_to - before, frame, 2);
  out.gaps_total = WithBoundaries(gaps, frame, 2 * out.gaps);
  if (out.gaps > 0) out.gap_longest = WithBoundaries(longest, frame, 2);
  return out;
}

}  // namespace afterscope
