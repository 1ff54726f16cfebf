// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/notes/note_keys.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace afterscope {
namespace {

void Begin(NoteState& note, MomentKind kind, const ActionScene& on) {
  if (!on.scene.Editable()) return on.say("A note needs a recording or case that is open for writing.", true);
  const FrameRef at = on.SeenFrame();
  on.Pause();
  OpenNote(note, kind, at);
}

// The moment on the frame that is shown, the last one noted where there are several.
const Moment* MomentHere(const ActionScene& on) {
  const Moment* here = nullptr;
  for (const Moment& moment : on.scene.view.review.moments)
    if (moment.at == on.player.playhead()) here = &moment;
  return here;
}

}  // namespace

bool DoNote(NoteState& note, const std::string& action, const ActionScene& on) {
  constexpr std::array<std::pair<const char*, MomentKind>, 5> kNotes{
      {{"remark", MomentKind::kRemark},
       {"teaching point", MomentKind::kTeachingPoint},
       {"complication", MomentKind::kComplication},
       {"settings", MomentKind::kSettings},
       {"check", MomentKind::kCheck}}};
  for (const auto& [word, kind] : kNotes) {
    if (action != word) continue;
    Begin(note, kind, on);
    return true;
  }
  if (action != "change moment" && action != "remove moment") return false;
  const Moment* here = MomentHere(on);
  if (here == nullptr)
    on.say("There is no moment on this frame; go to it first.", false);
  else if (action == "change moment")
    ChangeMoment(note, here->id, on);
  else
    on.desk.Push([id = here->id](CaseSession&) -> Result<EditGroup> {
      return EditGroup{"Remove moment", {Remove<MomentId>{id}}};
    });
  return true;
}

void ChangeMoment(NoteState& note, const MomentId& id, const ActionScene& on) {
  const auto& moments = on.scene.view.review.moments;
  const auto found =
      std::find_if(moments.begin(), moments.end(), [&](const Moment& moment) { return moment.id == id; });
  if (found == moments.end() || !on.scene.Editable()) return;
  on.Pause();
  ChangeNote(note, *found, on.scene.steps);
}

}  // namespace afterscope
