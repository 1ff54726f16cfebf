// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/edit.hpp"
#include "annotate/case/review.hpp"
#include "metrics/base/result.hpp"

#include <functional>
#include <optional>

namespace afterscope {

// What accepting, refusing and moving a draft do to the record, each one group. Nothing here changes the
// review. Each says in one sentence why it can't be done.

struct DraftIdSources {
  std::function<VisitId()> visit;
  std::function<MomentId()> moment;
};

// Takes an open draft into the record: a step becomes a visit of lane 0, cut where other visits already are
// (a step whose end was not said lasts to the next visit); where the same step is already there at that time,
// or at most kSameVisitSeconds from it with no other visit between, that visit is made longer instead. A
// check is set and becomes a moment; all else becomes a moment. A step for which no time is free is refused.
inline constexpr double kSameVisitSeconds = 15;  // common practice, no source: people speak of a step twice
Result<EditGroup> AcceptDraft(const Review& review, const DraftId& draft, const CaseClock& clock,
                              const DraftIdSources& ids);
Result<EditGroup> RefuseDraft(const Review& review, const DraftId& draft);
// Gives an open draft another time.
Result<EditGroup> MoveDraft(const Review& review, const DraftId& draft, FrameRef start,
                            std::optional<FrameRef> end);

// The first open draft at or after a frame, else the first of all; null where none is open.
const Draft* NextOpenDraft(const Review& review, FrameRef from);

}  // namespace afterscope
