// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"
#include "app/desktop/desk/mark_edits.hpp"
#include "app/desktop/picture/point_keys.hpp"

#include <fmt/format.h>

namespace afterscope {

// A point can be changed by keys while it is seen.
bool App::PointChosen() const {
  return !debrief_.open && !compare_.open() && !chooser_.open && picture_.drawings && player_.exact() &&
         ChosenOn(picture_.chosen, view_->review, player_.playhead()).has_value();
}

bool App::DoPoint(const std::string& action) {
  const FrameRef at = player_.playhead();
  if (action == "next point" || action == "previous point") {
    if (player_.playing()) player_.Pause(now_);
    picture_.chosen = PointBeside(picture_.chosen, view_->review, at, action == "next point" ? 1 : -1);
    if (!picture_.chosen) Say("There is no point of a mark on this frame.", false);
    return true;
  }
  if (action == "leave point") {
    picture_.chosen.reset();
    return picture_.tool == Tool::kNone || DoMarking("leave");
  }
  const auto chosen = PointChosen() ? picture_.chosen : std::nullopt;
  if (!chosen || !desk_) return false;
  if (const auto by = OffsetOf(action)) {
    const OffsetPx px = PxOffset(ShownPicture::Of(player_.shown()), *by);
    desk_->Push([=](CaseSession& session) { return MovePointBy(session.review(), *chosen, at, px); });
  } else if (action == "remove point") {
    desk_->Push([=](CaseSession& session) { return RemovePoint(session.review(), *chosen, at); });
  } else if (action == "remove mark") {
    desk_->Push([=](CaseSession& session) { return RemoveWhole(session.review(), *chosen); });
  } else {
    return false;
  }
  return true;
}

bool App::DoMarks(const std::string& action) {
  if (DoPoint(action)) return true;
  if (action == "copy marks" || action == "copy this mark") {
    const auto* only =
        action == "copy marks" || !picture_.chosen ? nullptr : std::get_if<MarkId>(&picture_.chosen->of);
    copied_marks_.clear();
    for (const Mark& mark : view_->review.marks)
      if (mark.at == player_.playhead() && (only == nullptr || mark.id == *only))
        copied_marks_.push_back(mark);
    Say(copied_marks_.empty()
            ? std::string("There is no mark on this frame.")
            : fmt::format("{} taken along: {} puts {} on another frame.",
                          copied_marks_.size() == 1 ? std::string("One mark")
                                                    : fmt::format("{} marks", copied_marks_.size()),
                          keys_.KeyFor("paste marks"), copied_marks_.size() == 1 ? "it" : "them"),
        false);
    return true;
  }
  if (action != "paste marks") return false;
  if (copied_marks_.empty() || !desk_) {
    Say("No marks were taken along; go to a frame that has some first.", false);
    return true;
  }
  desk_->Push([marks = copied_marks_, to = player_.playhead()](CaseSession& session) {
    return CopyMarks(session.review(), marks, to, [&session] { return session.NewMarkId(); });
  });
  return true;
}

void App::AskLabel(PointPx at) {
  Ask(ask_, "Words on the picture", "a few words", "",
      [this, at, frame = player_.playhead()](const std::string& words) {
        if (words.empty()) return;
        desk_->Push([=](CaseSession& session) {
          return AddLabel(frame, at, words, [&session] { return session.NewMarkId(); });
        });
      });
}

}  // namespace afterscope
