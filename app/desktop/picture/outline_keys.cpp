// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/outline_keys.hpp"

#include "annotate/case/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace afterscope {
namespace {

bool CanBeProposed(MarkKind kind) { return kind == MarkKind::kRhexis || kind == MarkKind::kLensEdge; }

// On the frame: that of the tool in hand, else that with the fewest points, which is the one not finished. A
// limbus or pupil with its tool in hand need not have been begun.
std::optional<Mark> OutlineToFinish(const Review& review, FrameRef at, Tool tool) {
  auto kind = KindOf(tool);
  if (kind && !CanBeProposed(*kind) && !IsFoundUnclicked(*kind)) kind.reset();
  std::optional<Mark> fewest;
  for (const Mark& mark : review.marks) {
    if (mark.at != at || (kind ? mark.kind != *kind : !CanBeProposed(mark.kind))) continue;
    if (!fewest || mark.points.size() < fewest->points.size()) fewest = mark;
  }
  if (!fewest && kind && IsFoundUnclicked(*kind)) {
    fewest.emplace();
    fewest->at = at, fewest->kind = *kind;
  }
  return fewest;
}

// Whether the clicks are still what they were when the outline was sought from them.
bool AsTheyWere(const std::vector<Mark>& marks, const Mark& clicks) {
  if (!clicks.id.value.empty()) return std::find(marks.begin(), marks.end(), clicks) != marks.end();
  return std::none_of(marks.begin(), marks.end(),
                      [&](const Mark& m) { return m.at == clicks.at && m.kind == clicks.kind; });
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
  const auto mark = OutlineToFinish(on.scene.view.review, on.player.playhead(), picture_.tool);
  if (!mark || (!IsFoundUnclicked(mark->kind) && mark->points.size() < kLeastEdgeClicks))
    return on.say(fmt::format("Set three points or more on the edge first, all round it, with {} or {}.",
                              on.scene.keys.KeyFor("mark rhexis"), on.scene.keys.KeyFor("mark lens edge")),
                  false);
  if (!on.scene.Editable() || !on.player.exact())
    return on.say("The outline can't be proposed now: the case or the picture is not ready for it.", true);
  jobs_.Renew();
  on.say(IsFoundUnclicked(mark->kind) ? fmt::format("Looking for the {} ...", WordOf(mark->kind))
                                      : "Looking for the edge through your points ...",
         false);
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
          if (!AsTheyWere(session.review().marks, clicks))
            return Error{ErrorCode::kBadCall,
                         "The points were changed meanwhile; propose the outline again."};
          Mark placed = mark;
          if (placed.id.value.empty()) placed.id = session.NewMarkId();
          return Replaced("Propose the outline", placed);
        });
        fresh_ = Proposed{clicks, outline->mark};
        say(fmt::format("{} {}: {}.", outline->said, escape,
                        clicks.points.empty() ? "take it away" : "back to your points"),
            false);
      });
}

bool OutlineKeys::LeaveClicks(const ActionScene& on) {
  const auto proposed = std::exchange(fresh_, std::nullopt);
  if (!proposed) return false;
  const auto& marks = on.scene.view.review.marks;
  const bool made = proposed->clicks.id.value.empty();
  const auto there = std::find_if(marks.begin(), marks.end(), [&](Mark mark) {
    if (made) mark.id = {};
    return mark == proposed->outline;
  });
  if (there == marks.end()) return false;
  on.desk.Push([made, id = there->id, clicks = proposed->clicks](CaseSession&) -> Result<EditGroup> {
    if (made) return EditGroup{"Take the outline away", {Remove<MarkId>{id}}};
    return Replaced("Leave the points", clicks);
  });
  return true;
}

void OutlineKeys::Forget() {
  jobs_.Renew();
  fresh_.reset();
}

}  // namespace afterscope
