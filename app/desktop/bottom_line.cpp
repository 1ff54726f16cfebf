// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/bottom_line.hpp"

#include "annotate/case/visits.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/work_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

void Hint(std::vector<KeyHint>& hints, const Scene& scene, const char* action, std::string words) {
  const std::string key = scene.keys.KeyFor(action);
  if (!key.empty()) hints.push_back({key, std::move(words)});
}

std::vector<KeyHint> MarkingHints(const Scene& scene, const PictureState& picture) {
  std::vector<KeyHint> hints;
  hints.push_back({"Click", picture.tool == Tool::kTip     ? "tip, then the next frame"
                            : picture.tool == Tool::kCover ? "two opposite corners"
                            : IsOutlineTool(picture.tool)  ? "a point"
                            : picture.tool == Tool::kGrasp ? "where the flap is taken"
                                                           : "both ends"});
  Hint(hints, scene, "put point", "a point by keys");
  hints.push_back({"Drag", "move a point"});
  Hint(hints, scene, "remove", "remove it");
  if (picture.tool == Tool::kTip) {
    hints.push_back({"Shift, drag", "tip and shaft"});
    Hint(hints, scene, "follow tip", "follow it");
  }
  if (picture.tool == Tool::kRhexis || picture.tool == Tool::kLensEdge)
    Hint(hints, scene, "propose outline", "the rest from three points");
  if (picture.tool == Tool::kLimbus || picture.tool == Tool::kPupil)
    Hint(hints, scene, "propose outline", "find it in the picture");
  if (picture.tool == Tool::kCover) {
    Hint(hints, scene, "cover from here", "from here");
    Hint(hints, scene, "cover to here", "to here");
    Hint(hints, scene, "cover shape", "box, ellipse, all but it");
    Hint(hints, scene, "cover all but eye", "all but the eye");
  } else {
    hints.push_back({"Wheel", "nearer"});
  }
  Hint(hints, scene, "leave", "put the tool away");
  return hints;
}

std::vector<KeyHint> PointHints(const Scene& scene) {
  std::vector<KeyHint> hints{{"Arrows", "move the point by a pixel"}, {"Shift", "by ten"}};
  Hint(hints, scene, "next point", "next point");
  Hint(hints, scene, "remove point", "remove it");
  Hint(hints, scene, "leave point", "leave it");
  return hints;
}

std::vector<KeyHint> DifferenceHints(const Scene& scene) {
  std::vector<KeyHint> hints;
  Hint(hints, scene, "next difference", "next difference");
  Hint(hints, scene, "previous difference", "the one before");
  Hint(hints, scene, "play", scene.player.playing() ? "pause" : "play");
  return hints;
}

std::vector<KeyHint> ReviewHints(const Scene& scene) {
  std::vector<KeyHint> hints;
  const StepVisit* running = RunningVisit(scene.view.review, scene.player.playhead());
  Hint(hints, scene, "play", scene.player.playing() ? "pause" : "play");
  if (scene.Editable()) {
    if (scene.steps.steps.empty())
      Hint(hints, scene, "own step", "start a step in your own words");
    else if (running == nullptr)
      hints.push_back({"Letter", "start a step"});
    if (running != nullptr) Hint(hints, scene, "end step", "end " + scene.steps.NameOf(running->step));
    if (running != nullptr)
      Hint(hints, scene, "take over", running->taken_over ? "instruments returned" : "take-over");
    Hint(hints, scene, "remark", "remark");
  }
  if (scene.view.review.is_signed) Hint(hints, scene, "new version", "change it as a new version");
  if (!scene.view.undo_label.empty()) Hint(hints, scene, "undo", "undo: " + scene.view.undo_label);
  return hints;
}

// The text at the right: work that goes on, what was said, or what lies under the pointer.
std::string RightText(const Scene& scene, const SaidState& said, const std::vector<JobHandle>& works) {
  if (!said.text.empty() && scene.now < said.until) return (said.failure ? "!  " : "") + said.text;
  if (!scene.wishes.under.empty()) return scene.wishes.under;
  if (works.empty()) return {};
  return fmt::format("{}  –  {} stops it", WorkWords(*works.front()), scene.keys.KeyFor("stop work"));
}

// What the keys are waited for, where it is not the usual.
std::vector<KeyHint> WaitedFor(KeysFor keys) {
  switch (keys) {
    case KeysFor::kText:
      return {{"Enter", "keep"}, {"Escape", "leave it"}, {"Tab", "next field"}};
    case KeysFor::kDay:
      return {{"Tab", "next cell"},
              {"Enter", "down"},
              {"Shift+Enter", "not this row"},
              {"Ctrl+Enter", "make the cases"},
              {"Escape", "not now"}};
    case KeysFor::kNewName:
      return {{"Letter", "the step it should be"}, {"Enter", "other words"}, {"Escape", "leave it"}};
    case KeysFor::kOtherHand:
      return {{"Letter", "the other hand's step from here"}, {"Escape", "leave it"}};
    case KeysFor::kReview:
    case KeysFor::kPoint:
    case KeysFor::kDifferences:
      break;
  }
  return {};
}

}  // namespace

std::vector<KeyHint> HintsFor(const Scene& scene, const PictureState& picture, KeysFor keys) {
  std::vector<KeyHint> hints = WaitedFor(keys);
  if (!hints.empty()) return hints;
  if (scene.reel.items().empty()) {
    Hint(hints, scene, "open", "open a recording or a case");
    hints.push_back({"Drop", "recordings or a case folder here"});
  } else if (picture.tool != Tool::kNone) {
    hints = MarkingHints(scene, picture);
  } else {
    hints = keys == KeysFor::kPoint         ? PointHints(scene)
            : keys == KeysFor::kDifferences ? DifferenceHints(scene)
                                            : ReviewHints(scene);
  }
  Hint(hints, scene, "key list", "all keys");
  return hints;
}

void DrawBottomLine(const Scene& scene, const std::vector<KeyHint>& hints, const SaidState& said,
                    const std::vector<JobHandle>& works, const ScreenRect& area) {
  const Look& look = scene.look;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImFont* font = look.fonts.small;
  const float side = look.Px(12);
  const float text_y = std::round((area.top + area.bottom - font->FontSize) / 2);
  const bool failure = said.failure && !said.text.empty() && scene.now < said.until;
  const std::string right =
      Fitted(look, font, RightText(scene, said, works), area.Width() * (failure ? 0.8F : 0.5F));
  const float right_width = right.empty() ? 0 : look.script->Size(font, right).x;
  look.script->Draw(list, font, {area.right - side - right_width, text_y},
                    Ink(failure ? look.colours.warning : look.colours.text), right);

  const auto width_of = [&](const KeyHint& hint) {
    return KeyWidth(look, hint.chord) + look.Px(6) + look.script->Size(font, hint.words).x;
  };
  const float gap = look.Px(18);
  const float end = area.right - side - right_width - look.Px(24);
  // The last one keeps its room.
  const float last = hints.empty() ? 0 : width_of(hints.back());
  float x = area.left + side;
  for (std::size_t i = 0; i < hints.size(); ++i) {
    const bool is_last = i + 1 == hints.size();
    const float width = width_of(hints[i]);
    if (x + width + (is_last ? 0 : gap + last) > end) continue;
    const float key =
        DrawKey(look, list, {x, std::round((area.top + area.bottom - look.Px(19)) / 2)}, hints[i].chord);
    look.script->Draw(list, font, {x + key + look.Px(6), text_y}, Ink(look.colours.quiet), hints[i].words);
    x += width + gap;
  }
}

}  // namespace afterscope
