// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/mark_keys.hpp"

#include "app/desktop/desk/mark_edits.hpp"
#include "app/desktop/picture/cover_keys.hpp"
#include "app/desktop/picture/point_keys.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace afterscope {
namespace {

MarkIdSource NewMarks(CaseSession& session) {
  return [&session] { return session.NewMarkId(); };
}

}  // namespace

bool MarkKeys::Do(const std::string& action, const ActionScene& on) {
  return DoPoint(action, on) || DoMarkHere(action, on) || DoCover(action, picture_, on.scene, on.desk) ||
         DoCopy(action, on) || DoTool(action, on);
}

bool MarkKeys::PointChosen(const Player& player, const Review& review) const {
  return picture_.drawings && player.exact() &&
         ChosenOn(picture_.chosen, review, player.playhead()).has_value();
}

bool MarkKeys::DoTool(const std::string& action, const ActionScene& on) {
  constexpr std::array kTools{Tool::kLimbus, Tool::kPupil, Tool::kRhexis,   Tool::kLensEdge,
                              Tool::kTip,    Tool::kRuler, Tool::kIncision, Tool::kArrow,
                              Tool::kLabel,  Tool::kCover, Tool::kGrasp};
  for (const Tool tool : kTools) {
    if (action != ToolAction(tool)) continue;
    picture_.tool = picture_.tool == tool ? Tool::kNone : tool;
    picture_.first_point.reset();
    picture_.tip_trail.reset();
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

// What is done to the mark of a kind on this frame.
bool MarkKeys::DoMarkHere(const std::string& action, const ActionScene& on) {
  const auto& marks = on.scene.view.review.marks;
  const auto of = [&](auto... kinds) {
    return std::find_if(marks.begin(), marks.end(), [&](const Mark& mark) {
      return mark.at == on.player.playhead() && ((mark.kind == kinds) || ...);
    });
  };
  if (action == "rhexis stage") {
    const auto rhexis = of(MarkKind::kRhexis);
    if (rhexis == marks.end())
      on.say("There is no outline of the rhexis on this frame.", false);
    else
      on.desk.Push([mark = *rhexis](CaseSession&) { return OtherRhexisStage(mark); });
    return true;
  }
  if (action != "known length") return false;
  const auto ruler = of(MarkKind::kRuler, MarkKind::kObject);
  if (ruler == marks.end())
    on.say("There is no ruler on this frame.", false);
  else
    AskLength(ruler->id, on);
  return true;
}

void MarkKeys::AskLength(const MarkId& ruler, const ActionScene& on) {
  Ask(on.ask, "How long is it?", "millimetres, or a needle's gauge (25 G); 0: not known", "",
      [ruler, &desk = on.desk](const std::string& words) {
        desk.Push([ruler, words](CaseSession& session) -> Result<EditGroup> {
          AFTERSCOPE_ASSIGN(const auto length, ReadKnownLength(words));
          return SetRulerLength(session.review(), ruler, length, [&session] { return session.NewScaleId(); });
        });
      });
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
  picture_.tip_trail.reset();
}

}  // namespace afterscope
