// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/mark_keys.hpp"

#include "app/desktop/desk/mark_edits.hpp"
#include "app/desktop/picture/point_keys.hpp"

#include <fmt/format.h>

#include <array>

namespace afterscope {
namespace {

MarkIdSource NewMarks(CaseSession& session) {
  return [&session] { return session.NewMarkId(); };
}

}  // namespace

bool MarkKeys::Do(const std::string& action, const ActionScene& on) {
  return DoPoint(action, on) || DoCopy(action, on) || DoTool(action, on);
}

bool MarkKeys::PointChosen(const Player& player, const Review& review) const {
  return picture_.drawings && player.exact() &&
         ChosenOn(picture_.chosen, review, player.playhead()).has_value();
}

bool MarkKeys::DoTool(const std::string& action, const ActionScene& on) {
  constexpr std::array kTools{Tool::kLimbus, Tool::kPupil,    Tool::kRhexis, Tool::kLensEdge, Tool::kTip,
                              Tool::kRuler,  Tool::kIncision, Tool::kArrow,  Tool::kLabel};
  for (const Tool tool : kTools) {
    if (action != ToolAction(tool)) continue;
    picture_.tool = picture_.tool == tool ? Tool::kNone : tool;
    picture_.first_point.reset();
    on.Pause();
    return true;
  }
  if (action != "remove") return false;
  RemovePointUnder(picture_, on.scene, on.desk);
  return true;
}

bool MarkKeys::DoPoint(const std::string& action, const ActionScene& on) {
  const Review& review = on.scene.view.review;
  if (action == "next point" || action == "previous point") {
    on.Pause();
    picture_.chosen =
        PointBeside(picture_.chosen, review, on.player.playhead(), action == "next point" ? 1 : -1);
    if (!picture_.chosen) on.say("There is no point of a mark on this frame.", false);
    return true;
  }
  if (action == "leave point") {
    picture_.chosen.reset();
    Leave();
    return true;
  }
  return PointChosen(on.player, review) && ChangePoint(action, on);
}

bool MarkKeys::ChangePoint(const std::string& action, const ActionScene& on) {
  const FrameRef at = on.player.playhead();
  const Handle point = *picture_.chosen;
  if (const auto by = OffsetOf(action)) {
    const OffsetPx px = PxOffset(ShownPicture::Of(on.player.shown()), *by);
    on.desk.Push([=](CaseSession& session) { return MovePointBy(session.review(), point, at, px); });
  } else if (action == "remove point") {
    on.desk.Push([=](CaseSession& session) { return RemovePoint(session.review(), point, at); });
  } else if (action == "remove mark") {
    on.desk.Push([=](CaseSession& session) { return RemoveWhole(session.review(), point); });
  } else {
    return false;
  }
  return true;
}

bool MarkKeys::DoCopy(const std::string& action, const ActionScene& on) {
  if (action == "copy marks" || action == "copy this mark") {
    TakeAlong(action == "copy this mark", on);
    return true;
  }
  if (action != "paste marks") return false;
  if (copied_.empty())
    on.say("No marks were taken along; go to a frame that has some first.", false);
  else
    on.desk.Push([marks = copied_, to = on.player.playhead()](CaseSession& session) {
      return CopyMarks(session.review(), marks, to, NewMarks(session));
    });
  return true;
}

void MarkKeys::TakeAlong(bool only_chosen, const ActionScene& on) {
  const MarkId* only = only_chosen && picture_.chosen ? std::get_if<MarkId>(&picture_.chosen->of) : nullptr;
  copied_.clear();
  for (const Mark& mark : on.scene.view.review.marks)
    if (mark.at == on.player.playhead() && (only == nullptr || mark.id == *only)) copied_.push_back(mark);
  if (copied_.empty()) return on.say("There is no mark on this frame.", false);
  const bool one = copied_.size() == 1;
  on.say(fmt::format("{} taken along: {} puts {} on another frame.",
                     one ? std::string("One mark") : fmt::format("{} marks", copied_.size()),
                     on.scene.keys.KeyFor("paste marks"), one ? "it" : "them"),
         false);
}

void MarkKeys::AskLabel(PointPx at, const ActionScene& on) {
  Ask(on.ask, "Words on the picture", "a few words", "",
      [at, frame = on.player.playhead(), &desk = on.desk](const std::string& words) {
        if (words.empty()) return;
        desk.Push([=](CaseSession& session) { return AddLabel(frame, at, words, NewMarks(session)); });
      });
}

void MarkKeys::Leave() {
  picture_.tool = Tool::kNone;
  picture_.first_point.reset();
}

}  // namespace afterscope
