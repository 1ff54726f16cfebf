// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/outline_keys.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

bool CanBeProposed(MarkKind kind) { return kind == MarkKind::kRhexis || kind == MarkKind::kLensEdge; }

// On the frame: that of the tool in hand, else that with the fewest points, which is the one not finished.
const Mark* OutlineToFinish(const Review& review, FrameRef at, Tool tool) {
  const auto kind = KindOf(tool);
  const Mark* fewest = nullptr;
  for (const Mark& mark : review.marks) {
    if (mark.at != at || !CanBeProposed(mark.kind)) continue;
    if (kind && CanBeProposed(*kind) && mark.kind != *kind) continue;
    if (!fewest || mark.points.size() < fewest->points.size()) fewest = &mark;
  }
  return fewest;
}

EditGroup Replaced(const char* label, const Mark& mark) { return {label, {Put<Mark>{mark}}}; }

}  // namespace

bool OutlineKeys::Do(const std::string& action, const ActionScene& on) {
  if (action == "leave" || action == "leave point") return LeaveClicks(on);
  fresh_.reset();
  if (action != "propose outline") return false;
  Propose(on);
  return true;
}

void OutlineKeys::Propose(const ActionScene& on) {
  on.Pause();
  const Mark* mark = OutlineToFinish(on.scene.view.review, on.player.playhead(), picture_.tool);
  if (!mark || mark->points.size() < kLeastEdgeClicks)
    return on.say(fmt::format("Set three points or more on the edge first, all round it, with {} or {}.",
                              on.scene.keys.KeyFor("mark rhexis"), on.scene.keys.KeyFor("mark lens edge")),
                  false);
  if (!on.scene.Editable() || !on.player.exact())
    return on.say("The outline can't be proposed now: the case or the picture is not ready for it.", true);
  jobs_.Renew();
  on.say("Looking for the edge through your points ...", false);
  jobs_.Start(
      "Proposing the outline",
      [record = on.scene.view.record, review = on.scene.view.review, clicks = *mark,
       picture = on.player.shown()](const Progress&, const StopQuery&) {
        return ProposeOutline(record, review, clicks, picture);
      },
      [this, clicks = *mark, &desk = on.desk, &say = on.say,
       escape = on.scene.keys.KeyFor("leave")](Result<ProposedOutline> outline) {
        if (!outline.ok()) return say(outline.error().message, true);
        desk.Push([clicks, mark = outline->mark](CaseSession& session) -> Result<EditGroup> {
          const auto& marks = session.review().marks;
          if (std::find(marks.begin(), marks.end(), clicks) == marks.end())
            return Error{ErrorCode::kBadCall,
                         "The points were changed meanwhile; propose the outline again."};
          return Replaced("Propose the outline", mark);
        });
        fresh_ = Proposed{clicks, outline->mark};
        say(fmt::format("{} {}: back to your points.", outline->said, escape), false);
      });
}

bool OutlineKeys::LeaveClicks(const ActionScene& on) {
  const auto proposed = std::exchange(fresh_, std::nullopt);
  if (!proposed) return false;
  const auto& marks = on.scene.view.review.marks;
  if (std::find(marks.begin(), marks.end(), proposed->outline) == marks.end()) return false;
  on.desk.Push([clicks = proposed->clicks](CaseSession&) -> Result<EditGroup> {
    return Replaced("Leave the points", clicks);
  });
  return true;
}

void OutlineKeys::Forget() {
  jobs_.Renew();
  fresh_.reset();
}

}  // namespace afterscope
