// SPDX-License-Identifier: Apache-2.0
#include "metrics/agreement/frame_agreement.hpp"

#include "metrics/series/checks.hpp"

#include <algorithm>
#include <map>

namespace afterscope {
namespace {

constexpr auto kFramesName = "The agreement by frame";
constexpr int kNone = -1;

using Spans = std::vector<LabelledSpan>;

// The timeline with its gaps filled by kNone, from start to end of the stretch.
Spans Filled(std::span<const LabelledSpan> timeline, HalfOpen<std::int64_t> stretch) {
  Spans out;
  std::int64_t at = stretch.start;
  for (const LabelledSpan& s : timeline) {
    if (s.span.start > at) out.push_back({kNone, {at, s.span.start}});
    out.push_back(s);
    at = s.span.end;
  }
  if (at < stretch.end) out.push_back({kNone, {at, stretch.end}});
  return out;
}

std::int64_t TicksTheSame(const Spans& a, const Spans& b) {
  std::int64_t same = 0;
  for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
    if (a[i].label == b[j].label) same += SharedTicks(a[i].span, b[j].span);
    if (a[i].span.end < b[j].span.end)
      ++i;
    else
      ++j;
  }
  return same;
}

std::map<int, double> Shares(const Spans& timeline, double ticks) {
  std::map<int, double> shares;
  for (const LabelledSpan& s : timeline)
    shares[s.label] += static_cast<double>(s.span.end - s.span.start) / ticks;
  return shares;
}

bool Within(std::span<const LabelledSpan> timeline, HalfOpen<std::int64_t> stretch) {
  return timeline.empty() ||
         (timeline.front().span.start >= stretch.start && timeline.back().span.end <= stretch.end);
}

}  // namespace

HalfOpen<std::int64_t> CommonStretch(std::span<const LabelledSpan> a, std::span<const LabelledSpan> b) {
  if (a.empty() && b.empty()) return {};
  if (a.empty() || b.empty()) {
    const auto& only = a.empty() ? b : a;
    return {only.front().span.start, only.back().span.end};
  }
  return {std::min(a.front().span.start, b.front().span.start),
          std::max(a.back().span.end, b.back().span.end)};
}

Result<FrameAgreement> AgreementByFrame(std::span<const LabelledSpan> a, std::span<const LabelledSpan> b,
                                        HalfOpen<std::int64_t> stretch) {
  AFTERSCOPE_TRY(CheckTimeline(a));
  AFTERSCOPE_TRY(CheckTimeline(b));
  if (stretch.empty()) return NotComputable(kFramesName, "there is nothing to compare");
  if (!Within(a, stretch) || !Within(b, stretch))
    return NotComputable(kFramesName, "a step lies outside the stretch that is compared");
  const Spans spans_a = Filled(a, stretch);
  const Spans spans_b = Filled(b, stretch);
  FrameAgreement out;
  out.ticks = stretch.end - stretch.start;
  out.same = TicksTheSame(spans_a, spans_b);
  const double ticks = static_cast<double>(out.ticks);
  out.accuracy = static_cast<double>(out.same) / ticks;
  const std::map<int, double> shares_a = Shares(spans_a, ticks);
  const std::map<int, double> shares_b = Shares(spans_b, ticks);
  if (shares_a.size() == 1 && shares_b.size() == 1 && shares_a.begin()->first == shares_b.begin()->first)
    return NotComputable(kFramesName, "both reviewers have one and the same step throughout");
  for (const auto& [label, share] : shares_a)
    if (const auto other = shares_b.find(label); other != shares_b.end())
      out.expected += share * other->second;
  out.kappa = (out.accuracy - out.expected) / (1 - out.expected);
  out.method = "kappa by frame, time without a step as a step of its own";
  if (shares_a.size() == 1 || shares_b.size() == 1)
    out.cautions.emplace_back(
        "One reviewer has a single step throughout: agreement beyond chance cannot show.");
  return out;
}

}  // namespace afterscope
