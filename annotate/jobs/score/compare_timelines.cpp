// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/case_clock.hpp"
#include "annotate/case/visits.hpp"
#include "annotate/jobs/score/agree_parts.hpp"
#include "annotate/jobs/series/computed.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace afterscope {
namespace {

constexpr Rational kMillisecond{1, 1000};

// Frames of one recording by its ticks; several recordings by milliseconds of the case clock.
Rational TickOf(const ReviewedCase& a, const ReviewedCase& b) {
  const bool one = a.record.recordings.size() == 1 && b.record.recordings.size() == 1;
  if (!one) return kMillisecond;
  const Rational base = a.record.recordings[0].shape.time_base;
  return base == b.record.recordings[0].shape.time_base ? base : kMillisecond;
}

std::vector<LabelledSpan> TimelineOf(const ReviewedCase& entry, Rational tick,
                                     const std::map<std::string, int>& labels) {
  const CaseClock clock(entry.record.recordings);
  const auto ticks = [&](FrameRef at) {
    return static_cast<std::int64_t>(std::llround(clock.Seconds(at) / tick.value()));
  };
  std::vector<LabelledSpan> timeline;
  for (const StepVisit& visit : entry.review.visits) {
    if (visit.lane != 0) continue;
    const HalfOpen<std::int64_t> span{ticks(visit.start), ticks(EndOf(entry.review, visit, clock.end()))};
    if (!span.empty()) timeline.push_back({labels.at(visit.step), span});
  }
  return timeline;
}

const LabelledSpan* SpanAt(const std::vector<LabelledSpan>& timeline, std::int64_t at) {
  for (const LabelledSpan& span : timeline)
    if (span.span.Contains(at)) return &span;
  return nullptr;
}

// Where the two name different steps, neighbouring stretches of the same pair joined.
std::vector<TimelineDifference> DifferencesOf(const std::vector<LabelledSpan>& a,
                                              const std::vector<LabelledSpan>& b, Rational tick,
                                              const std::vector<std::string>& steps) {
  std::set<std::int64_t> edges;
  for (const auto* timeline : {&a, &b})
    for (const LabelledSpan& span : *timeline) edges.insert({span.span.start, span.span.end});
  std::vector<TimelineDifference> out;
  const auto name = [&](const LabelledSpan* span) {
    return span ? steps[static_cast<std::size_t>(span->label)] : std::string();
  };
  for (auto edge = edges.begin(); edge != edges.end() && std::next(edge) != edges.end(); ++edge) {
    const std::string first = name(SpanAt(a, *edge));
    const std::string second = name(SpanAt(b, *edge));
    if (first == second) continue;
    const double start = static_cast<double>(*edge) * tick.value();
    const double end = static_cast<double>(*std::next(edge)) * tick.value();
    if (!out.empty() && out.back().end_s == start && out.back().first == first && out.back().second == second)
      out.back().end_s = end;
    else
      out.push_back({start, end, first, second});
  }
  return out;
}

}  // namespace

TimelineAgreement CompareTimelines(const ReviewedCase& first, const ReviewedCase& second) {
  TimelineAgreement out;
  out.case_code = first.case_code;
  out.first = first.reviewer;
  out.second = second.reviewer;
  std::map<std::string, int> labels;
  for (const ReviewedCase* entry : {&first, &second})
    for (const StepVisit& visit : entry->review.visits)
      if (labels.emplace(visit.step, static_cast<int>(labels.size())).second) out.steps.push_back(visit.step);
  const Rational tick = TickOf(first, second);
  const std::vector<LabelledSpan> a = TimelineOf(first, tick, labels);
  const std::vector<LabelledSpan> b = TimelineOf(second, tick, labels);
  out.boundaries = ComputedFrom(BoundaryDifferenceOf(a, b, tick));
  out.overlaps = ComputedFrom(StepOverlaps(a, b));
  for (const double overlap : kUsualOverlaps) out.f1.push_back(ComputedFrom(VisitF1At(a, b, overlap)));
  out.order = ComputedFrom(EditScoreOf(a, b));
  out.frames = ComputedFrom(AgreementByFrame(a, b, CommonStretch(a, b)));
  out.differences = DifferencesOf(a, b, tick, out.steps);
  return out;
}

}  // namespace afterscope
