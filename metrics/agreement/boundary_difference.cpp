// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/boundary_difference.hpp"

#include "metrics/series/checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

using Spans = std::vector<LabelledSpan>;

std::vector<MatchedVisit> Candidates(const Spans& a, const Spans& b) {
  std::vector<MatchedVisit> pairs;
  for (std::size_t i = 0; i < a.size(); ++i)
    for (std::size_t j = 0; j < b.size(); ++j)
      if (a[i].label == b[j].label && a[i].span.Overlaps(b[j].span))
        pairs.push_back({a[i].label, i, j, 0, 0, SpanOverlap(a[i].span, b[j].span)});
  std::stable_sort(pairs.begin(), pairs.end(),
                   [](const MatchedVisit& x, const MatchedVisit& y) { return x.overlap > y.overlap; });
  return pairs;
}

Spans Unpaired(const Spans& visits, const std::vector<bool>& paired) {
  Spans out;
  for (std::size_t i = 0; i < visits.size(); ++i)
    if (!paired[i]) out.push_back(visits[i]);
  return out;
}

// The quartiles of one figure of all matched visits; none if there are none.
template <class Figure>
std::optional<Quartiles> Spread(const std::vector<MatchedVisit>& matched, Figure figure) {
  std::vector<double> values;
  values.reserve(matched.size());
  for (const MatchedVisit& m : matched) values.push_back(figure(m));
  const Result<Quartiles> quartiles = QuartilesOf(values);
  return quartiles ? std::optional(*quartiles) : std::nullopt;
}

}  // namespace

Result<BoundaryDifference> BoundaryDifferenceOf(std::span<const LabelledSpan> a,
                                                std::span<const LabelledSpan> b, Rational tick) {
  AFTERSCOPE_TRY(CheckTimeline(a));
  AFTERSCOPE_TRY(CheckTimeline(b));
  if (!tick.valid())
    return NotComputable("The difference of boundaries", "the length of a tick is not above 0");
  const Spans runs_a = JoinedRuns(a);
  const Spans runs_b = JoinedRuns(b);
  std::vector<bool> paired_a(runs_a.size(), false);
  std::vector<bool> paired_b(runs_b.size(), false);
  BoundaryDifference out;
  for (MatchedVisit pair : Candidates(runs_a, runs_b)) {
    if (paired_a[pair.a] || paired_b[pair.b]) continue;
    paired_a[pair.a] = paired_b[pair.b] = true;
    const auto& span_a = runs_a[pair.a].span;
    const auto& span_b = runs_b[pair.b].span;
    pair.start_difference_s = static_cast<double>(span_b.start - span_a.start) * tick.value();
    pair.end_difference_s = static_cast<double>(span_b.end - span_a.end) * tick.value();
    out.matched.push_back(pair);
  }
  std::sort(out.matched.begin(), out.matched.end(),
            [](const MatchedVisit& x, const MatchedVisit& y) { return x.a < y.a; });
  out.only_a = Unpaired(runs_a, paired_a);
  out.only_b = Unpaired(runs_b, paired_b);
  out.start_size_s =
      Spread(out.matched, [](const MatchedVisit& m) { return std::fabs(m.start_difference_s); });
  out.end_size_s = Spread(out.matched, [](const MatchedVisit& m) { return std::fabs(m.end_difference_s); });
  out.start_s = Spread(out.matched, [](const MatchedVisit& m) { return m.start_difference_s; });
  out.end_s = Spread(out.matched, [](const MatchedVisit& m) { return m.end_difference_s; });
  out.method = "visits of one step paired by their overlap";
  if (const std::size_t alone = out.only_a.size() + out.only_b.size(); alone > 0)
    out.cautions.push_back(fmt::format("{} visit{} of one reviewer only and {} not in the differences.",
                                       alone, alone == 1 ? " is" : "s are", alone == 1 ? "is" : "are"));
  return out;
}

}  // namespace afterscope
