// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/moved_review.hpp"

#include "annotate/case/cover.hpp"

namespace afterscope {

Review MovedReview(Review review, const std::function<FrameRef(FrameRef)>& place,
                   const std::function<PointPx(int recording, PointPx)>& spot) {
  const auto move = [&](FrameRef& at) { at = place(at); };
  const auto move_end = [&](std::optional<FrameRef>& at) {
    if (at) move(*at);
  };
  for (StepVisit& visit : review.visits) {
    move(visit.start);
    move_end(visit.end);
  }
  for (Moment& moment : review.moments) move(moment.at);
  for (Mark& mark : review.marks) {
    for (PointPx& point : mark.points) point = spot(mark.at.recording, point);
    if (auto range = mark.kind == MarkKind::kCover ? RangeOfCover(mark) : std::nullopt) {
      move(range->start);
      move(range->end);
      SetRange(mark, range);
    } else {
      move(mark.at);
    }
  }
  for (Trail& trail : review.trails) {
    for (TrailPoint& point : trail.points) {
      point.tip = spot(point.at.recording, point.tip);
      move(point.at);
    }
    for (TrailGap& gap : trail.gaps) {
      move(gap.range.start);
      move(gap.range.end);
    }
  }
  for (ScaleDef& scale : review.scales)
    if (scale.range) {
      move(scale.range->start);
      move(scale.range->end);
    }
  for (Caption& caption : review.captions) {
    move(caption.start);
    move_end(caption.end);
  }
  for (Draft& draft : review.drafts) {
    move(draft.start);
    move_end(draft.end);
  }
  return review;
}

}  // namespace afterscope
