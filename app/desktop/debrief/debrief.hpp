// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "app/desktop/player/play_plan.hpp"

#include <cstddef>
#include <optional>
#include <vector>

namespace afterscope {

// Talking a case over with the trainee: the moments one after another, each from ten seconds before, again
// and again until the next one is asked for. Pure.
struct DebriefState {
  bool open = false;
  std::optional<MomentId> at;
  bool was_full_screen = false;  // before it was opened
};

inline constexpr double kDebriefBefore = 10;  // seconds
inline constexpr double kDebriefAfter = 3;

// What is talked over, in order of time: complications, teaching points, remarks.
std::vector<const Moment*> DebriefMoments(const Review& review);
// Where the moment is among them; empty where it is not (any more).
std::optional<std::size_t> PlaceOf(const std::vector<const Moment*>& moments,
                                   const std::optional<MomentId>& id);
// The one after (1) or before (-1) it, round the end; null where there is none. Without a moment: the first
// or last.
const Moment* NextMoment(const std::vector<const Moment*>& moments, const std::optional<MomentId>& from,
                         int direction);
// The first after (1) or the last before (-1) a frame; null where there is none.
const Moment* MomentBeside(const std::vector<const Moment*>& moments, FrameRef at, int direction);
// The stretch that is played for it, within the case.
PlayPlan DebriefPlan(const Moment& moment, const CaseClock& clock);

}  // namespace afterscope
