// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"
#include "app/desktop/clock_line.hpp"
#include "app/desktop/key_list.hpp"

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr float kSheetWidth = 344;
constexpr float kClockHeight = 36;
constexpr float kBottomHeight = 28;
constexpr ImGuiWindowFlags kPlain = ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove |
                                    ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoBringToFrontOnFocus;

// A part of the window at a fixed place. opaque: on the ground of sheets; else the picture below is seen.
void BeginPart(const char* name, const ScreenRect& area, bool opaque, bool padded) {
  ImGui::SetNextWindowPos({area.left, area.top});
  ImGui::SetNextWindowSize({std::max(1.0F, area.Width()), std::max(1.0F, area.Height())});
  ImGui::PushStyleVar(ImGuiStyleVar_WindowMinSize, {1, 1});
  if (!padded) ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {0, 0});
  ImGui::Begin(name, nullptr,
               kPlain | (opaque ? 0 : ImGuiWindowFlags_NoBackground) |
                   (padded ? 0 : ImGuiWindowFlags_NoScrollWithMouse));
  ImGui::PopStyleVar(padded ? 1 : 2);
}

}  // namespace

Scene App::MakeScene() {
  return {*view_,
          clock_,
          tables_,
          reel_,
          player_,
          steps_,
          keys_,
          look_,
          now_,
          wishes_,
          {sound_levels_.AnySound(), SoundPlayer::Audible(player_.speed()), settings_.muted,
           settings_.volume_pct}};
}

// The sheet with its words, or the words alone where it is folded; says what is left for the picture.
ScreenRect App::DrawSheet(const Scene& scene, float width, float height) {
  const float words_height = std::round(look_.Px(34));
  const float sheet_width = std::round(std::min(look_.Px(kSheetWidth), width * 0.45F));
  const float left = width - sheet_width;
  ScreenRect words{left, 0, width, words_height};
  BeginPart("sheet words", words, !sheet_.folded, false);
  ImGui::SetCursorScreenPos({left + look_.Px(3), look_.Px(2)});
  DrawSheetWords(sheet_, scene);
  ImGui::End();
  if (sheet_.folded) return {0, 0, width, height};
  BeginPart("sheet", {left, words_height, width, height}, true, true);
  switch (sheet_.kind) {
    case SheetKind::kCases:
      DrawCasesSheet(sheet_.cases, scene, *desk_);
      break;
    case SheetKind::kSteps:
      DrawStepsSheet(scene, *desk_);
      break;
    case SheetKind::kMarks:
      DrawMarksSheet(picture_, scene, *desk_);
      break;
    case SheetKind::kFindings:
      DrawFindingsSheet(sheet_.findings, scene, *desk_);
      break;
  }
  ImGui::Dummy({0, look_.Px(4)});
  ImGui::End();
  return {0, 0, left, height};
}

void App::Draw(float width, float height) {
  if (!desk_) StartDesk();
  wishes_ = {};
  const Scene scene = MakeScene();
  const float bottom_top = height - std::round(look_.Px(kBottomHeight));
  const float timeline_top = bottom_top - TimelineHeight(look_);
  const float clock_top = timeline_top - std::round(look_.Px(kClockHeight));

  ImGui::PushFont(look_.fonts.body);
  const ScreenRect left_of_sheet = DrawSheet(scene, width, clock_top);
  picture_area_ = left_of_sheet;
  BeginPart("picture part", picture_area_, false, false);
  DrawPicture(picture_, scene, *desk_, picture_area_);
  ImGui::End();
  if (keys_shown_) DrawKeyList(scene, picture_area_);
  DrawNote(note_, scene, *desk_, picture_area_);

  const ScreenRect below{0, clock_top, width, height};
  BeginPart("below", below, true, false);
  DrawClockLine(scene, picture_.view, {0, clock_top, width, timeline_top});
  DrawTimeline(timeline_, scene, *desk_, small_, {0, timeline_top, width, bottom_top});
  DrawBottomLine(scene, HintsFor(scene, picture_, note_), said_, jobs_.Shown(),
                 {0, bottom_top, width, height});
  ImGui::End();
  ImGui::PopFont();
  CarryOut();
}

void App::CarryOut() {
  const Wishes wishes = std::exchange(wishes_, {});
  player_.SetScrubbing(wishes.scrubbing);
  if (wishes.jump) {
    if (player_.playing() && timeline_.boundary) player_.Pause(now_);
    player_.JumpTo(*wishes.jump, now_);
  }
  if (wishes.start_step) StartStepNow(*wishes.start_step);
  for (const std::string& action : wishes.actions) Do(action);
  if (wishes.open) OpenPaths({*wishes.open});
}

}  // namespace afterscope
