// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/follow/frame_runs.hpp"

#include <algorithm>

namespace afterscope {
namespace {

template <class Frame, class Missing>
std::vector<FrameRun> RunsWhere(const std::vector<Frame>& frames, FrameRef end, const CaseClock& clock,
                                const Missing& missing) {
  std::vector<FrameRun> out;
  for (std::size_t i = 0; i < frames.size();) {
    std::size_t next = i;
    while (next < frames.size() && missing(frames[next])) ++next;
    if (next > i) {
      const HalfOpen<FrameRef> range{frames[i].at, next < frames.size() ? frames[next].at : end};
      out.push_back({range, next - i, clock.Seconds(range.end) - clock.Seconds(range.start)});
    }
    i = next + 1;
  }
  return out;
}

}  // namespace

std::vector<FrameRun> RunsWithoutTip(const FollowedTrail& followed, const CaseClock& clock) {
  return RunsWhere(followed.tips, {followed.recording, followed.range.end}, clock,
                   [&](const FollowedTip& tip) {
                     return !tip.by_hand && (!tip.tip || tip.confidence < followed.least_confidence);
                   });
}

std::vector<FrameRun> RunsWithoutEye(const FollowedEye& eye, const CaseClock& clock) {
  // One that was stopped is known up to its last frame.
  const bool to_last = !eye.complete && !eye.frames.empty();
  const FrameRef end = to_last ? eye.frames.back().at : FrameRef{eye.recording, eye.range.end};
  return RunsWhere(eye.frames, end, clock,
                   [](const EyeAtFrame& frame) { return !(frame.pose.trust >= kLeastTrust); });
}

std::vector<FrameRun> LongestRuns(const std::vector<FrameRun>& runs, std::size_t most) {
  std::vector<FrameRun> out = runs;
  std::stable_sort(out.begin(), out.end(),
                   [](const FrameRun& a, const FrameRun& b) { return a.frames > b.frames; });
  if (out.size() > most) out.resize(most);
  std::sort(out.begin(), out.end(),
            [](const FrameRun& a, const FrameRun& b) { return a.range.start < b.range.start; });
  return out;
}

}  // namespace afterscope
