// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace afterscope {

bool App::DoNote(const std::string& action) {
  if (action == "own step" || (action == "remark" && renaming_)) {
    AskOwnStep();
    return true;
  }
  constexpr std::array<std::pair<const char*, MomentKind>, 5> kNotes{
      {{"remark", MomentKind::kRemark},
       {"teaching point", MomentKind::kTeachingPoint},
       {"complication", MomentKind::kComplication},
       {"settings", MomentKind::kSettings},
       {"check", MomentKind::kCheck}}};
  for (const auto& [word, kind] : kNotes) {
    if (action != word) continue;
    if (!MakeScene().Editable()) {
      Say("A note needs a recording or case that is open for writing.", true);
      return true;
    }
    const FrameRef at = SeenFrame();
    if (player_.playing()) player_.Pause(now_);
    OpenNote(note_, kind, at);
    return true;
  }
  return false;
}

// The moment on the frame that is shown, the last one noted where there are several.
const Moment* App::MomentHere() const {
  const Moment* here = nullptr;
  for (const Moment& moment : view_->review.moments)
    if (moment.at == player_.playhead()) here = &moment;
  return here;
}

bool App::DoMoment(const std::string& action) {
  if (action == "change moment" || action == "remove moment") {
    const Moment* here = MomentHere();
    if (here == nullptr)
      Say("There is no moment on this frame; go to it first.", false);
    else if (action == "change moment")
      ChangeMoment(here->id);
    else if (desk_)
      desk_->Push([id = here->id](CaseSession&) -> Result<EditGroup> {
        return EditGroup{"Remove moment", {Remove<MomentId>{id}}};
      });
    return true;
  }
  return false;
}

void App::ChangeMoment(const MomentId& id) {
  const auto& moments = view_->review.moments;
  const auto found =
      std::find_if(moments.begin(), moments.end(), [&](const Moment& moment) { return moment.id == id; });
  if (found == moments.end() || !MakeScene().Editable()) return;
  if (player_.playing()) player_.Pause(now_);
  ChangeNote(note_, *found, steps_);
}

}  // namespace afterscope
