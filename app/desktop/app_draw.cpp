// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/app.hpp"
#include "app/desktop/clock_line.hpp"
#include "app/desktop/compare/compare_panel.hpp"
#include "app/desktop/debrief/debrief_panel.hpp"
#include "app/desktop/fairly/review_sheet.hpp"
#include "app/desktop/follow/followed_tip.hpp"
#include "app/desktop/key_list.hpp"
#include "app/desktop/look/part.hpp"
#include "app/desktop/notes/note_keys.hpp"
#include "app/desktop/picture/picture_controls.hpp"
#include "app/desktop/sheets/work_sheets.hpp"
#include "app/desktop/work_line.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr float kClockHeight = 36;
constexpr float kLeastSheetHeight = 300;

float SheetWidth(const Look& look, const ViewSettings& settings, float width) {
  return std::round(std::min(look.Px(static_cast<float>(settings.sheet_width)), width * 0.45F));
}

// Where the sheet is folded, the picture stays beside the words as long as it is whole and no smaller for it.
float RightOfPicture(const PictureView& view, const ShownPicture& shown, float left_of_words, float width,
                     float height) {
  const bool is_free = view.fitted() && shown.Width() > 0 && shown.Height() > 0 &&
                       height * shown.Width() / shown.Height() <= left_of_words;
  return is_free ? left_of_words : width;
}

// The line between the picture and the sheet, to be drawn to another place.
void DrawSheetEdge(const Scene& scene, ViewSettings& settings, float left, float width, float height) {
  const Look& look = scene.look;
  const float reach = look.Px(4);
  BeginPart("sheet edge", {left - reach, 0, left + reach, height}, false, false);
  ImGui::InvisibleButton("edge", {2 * reach, height});
  if (ImGui::IsItemHovered() || ImGui::IsItemActive()) {
    ImGui::SetMouseCursor(ImGuiMouseCursor_ResizeEW);
    scene.wishes.under = "Drag: how wide the sheet is  –  " + scene.keys.KeyFor("wider sheet") + " wider, " +
                         scene.keys.KeyFor("narrower sheet") + " narrower";
  }
  if (ImGui::IsItemActive())
    settings.sheet_width =
        SheetWidthInRange(static_cast<int>(std::lround((width - ImGui::GetIO().MousePos.x) / look.unit)));
  ImGui::End();
}

}  // namespace

// The sheet with its words, or the words alone where it is folded; says what is left for the picture.
ScreenRect App::DrawSheet(const Scene& scene, float width, float height) {
  const float sheet_width = SheetWidth(look_, settings_, width);
  const float left = width - sheet_width;
  const float words_height = SheetWordsHeight(look_, keys_, sheet_width - look_.Px(6));
  ScreenRect words{left, 0, width, words_height};
  BeginPart("sheet words", words, true, false);
  ImGui::SetCursorScreenPos({left + look_.Px(3), look_.Px(2)});
  DrawSheetWords(sheet_, scene, sheet_width - look_.Px(6));
  ImGui::End();
  if (sheet_.folded)
    return {0, 0, RightOfPicture(picture_.view, ShownPicture::Of(player_.shown()), left, width, height),
            height};
  walk_.BeforeSheet();
  BeginPart("sheet", {left, words_height, width, height}, true, true);
  if (std::exchange(drawn_sheet_, sheet_.kind) != sheet_.kind) ImGui::SetScrollY(0);
  switch (sheet_.kind) {
    case SheetKind::kCases:
      DrawCasesSheet(sheet_.cases, sheet_.day, scene, *desk_);
      break;
    case SheetKind::kSteps:
      DrawStepsSheet(sheet_.steps, scene, *desk_);
      break;
    case SheetKind::kMarks:
      DrawMarksSheet(picture_, scene, *desk_);
      break;
    case SheetKind::kFindings:
      DrawFindingsSheet(sheet_.findings, scene, *desk_);
      break;
    case SheetKind::kReview:
      DrawReviewSheet(fair_, scene);
      break;
    default:
      works_->Draw(sheet_.kind, scene);
  }
  ImGui::Dummy({0, look_.Px(4)});
  ImGui::End();
  DrawSheetEdge(scene, settings_, left, width, height);
  return {0, 0, left, height};
}

// What goes on in the background, in words: first what a panel shows, last what nobody waits for.
std::vector<JobHandle> App::Works() const {
  std::vector<JobHandle> works = jobs_.Shown();
  if (JobHandle work = reel_.BackgroundWork()) works.push_back(std::move(work));
  return InOrderOfStopping(std::move(works), work_in_sight_);
}

void App::Draw(float width, float height) {
  wishes_ = {};
  const std::shared_ptr<const CaseView> drawn = view_;  // an answer may open another case meanwhile
  const Scene scene = MakeScene();
  if (std::exchange(leave_field_, false)) ImGui::SetWindowFocus(nullptr);
  ImGui::PushFont(look_.fonts.body);
  if (compare_.open())
    DrawCompareScreen(scene, width, height);
  else if (debrief_.open())
    DrawDebriefScreen(scene, width, height);
  else
    DrawReview(scene, width, height);
  ImGui::PopFont();
  work_in_sight_ = wishes_.work_in_sight;
  CarryOut();
}

void App::DrawCompareScreen(const Scene& scene, float width, float height) {
  const float bottom = height - std::round(look_.Px(kBottomLineHeight));
  BeginPart("compare", {0, 0, width, height}, true, false);
  DrawCompare(compare_.desk(), scene, sheet_.findings.labels, picture_.look.Shown(), {0, 0, width, bottom});
  DrawBottomLine(scene, CompareHints(compare_.desk(), scene), said_, Works(), {0, bottom, width, height});
  ImGui::End();
  if (keys_shown_) DrawKeyList(scene, {0, 0, width, bottom});
}

void App::DrawDebriefScreen(const Scene& scene, float width, float height) {
  const float bottom = height - std::round(look_.Px(kBottomLineHeight));
  const float words = bottom - DebriefHeight(scene, note_.complications, width, height);
  picture_area_ = {0, 0, width, words};
  BeginPart("picture part", picture_area_, false, false);
  DrawPicture(picture_, scene, *desk_, painter_, picture_area_);
  ImGui::End();
  BeginPart("below", {0, words, width, height}, true, false);
  DrawDebrief(debrief_.state(), scene, note_.complications, {0, words, width, bottom});
  DrawBottomLine(scene, Typing() ? HintsFor(scene, picture_, KeysAreFor()) : DebriefHints(scene), said_,
                 Works(), {0, bottom, width, height});
  ImGui::End();
  if (keys_shown_) DrawKeyList(scene, {0, 0, width, bottom});
  DrawNote(note_, scene, *desk_, picture_area_);
  DrawAsk(ask_, scene, picture_area_);
}

void App::DrawReview(const Scene& scene, float width, float height) {
  const float bottom_top = height - std::round(look_.Px(kBottomLineHeight));
  const float clock_height = std::round(look_.Px(kClockHeight));
  const float timeline_top = bottom_top - TimelineHeight(look_, view_->review, bottom_top - clock_height);
  const float least = look_.Px(kLeastSheetHeight);
  const float usual_clock_top = timeline_top - clock_height;
  // Where large text leaves little height, or nothing is open, a chart stands in the timeline's place too.
  const bool nothing_open = view_->record.recordings.empty() && bare_recordings_.empty();
  const bool chart_alone = works_->ShowsChart() && (usual_clock_top < least || nothing_open);
  const float clock_top = chart_alone ? bottom_top : usual_clock_top;

  // And the sheet stands beside the timeline.
  const bool tall_sheet = !sheet_.folded && clock_top < least;
  const float middle = (picture_area_.left + picture_area_.right) / 2;
  picture_area_ = DrawSheet(scene, width, tall_sheet ? bottom_top : clock_top);
  picture_area_.bottom = clock_top;
  // A picture that is looked at closely stays where it is.
  const float moved = (picture_area_.left + picture_area_.right) / 2 - middle;
  if (moved != 0 && !picture_.view.fitted())
    picture_.view.Pan(-moved, 0, ShownPicture::Of(player_.shown()), picture_area_);
  const float timeline_right = tall_sheet ? picture_area_.right : width;
  BeginPart("picture part", picture_area_, false, false);
  ScreenRect seen = picture_area_;
  if (player_.shown().empty() && sheet_.folded)
    seen.right -= SheetWidth(look_, settings_, width);  // its words are there
  if (const auto live = follow_.Live(player_); live && !works_->HasPicture()) {
    DrawLiveTip(*live, scene, picture_.view, picture_area_);
  } else if (!works_->HasPicture()) {
    DrawPicture(picture_, scene, *desk_, painter_, seen);
    if (picture_.drawings) DrawFollowedTip(follow_.followed(), scene, picture_.view, picture_area_);
  }
  works_->DrawOver(scene, picture_area_);
  ImGui::End();
  // What lies over the picture is not cut off where large text leaves that little room: it covers more then.
  const ScreenRect over = clock_top < least ? ScreenRect{0, 0, width, bottom_top} : picture_area_;
  report_view_.Draw(scene, over);
  DrawPictureControls(picture_.look, scene, over);
  DrawChooser(compare_.chooser(), scene, over);
  DrawDayTable(sheet_.day, scene, over);
  DrawNote(note_, scene, *desk_, over);
  DrawAsk(ask_, scene, over);

  if (!chart_alone) {
    BeginPart("below", {0, clock_top, timeline_right, bottom_top}, true, false);
    DrawClockLine(scene, picture_.view, choice_, {0, clock_top, timeline_right, timeline_top});
    DrawTimeline(timeline_, scene, *desk_, small_, {0, timeline_top, timeline_right, bottom_top});
    ImGui::End();
  }
  BeginPart("bottom line", {0, bottom_top, width, height}, true, false);
  DrawBottomLine(scene, HintsNow(scene), said_, Works(), {0, bottom_top, width, height});
  ImGui::End();
  if (keys_shown_) DrawKeyList(scene, {0, 0, width, bottom_top});
}

std::vector<KeyHint> App::HintsNow(const Scene& scene) const {
  const KeysFor keys = KeysAreFor();
  if (walk_.on() && !Typing()) return walk_.Hints();
  if (report_view_.open() && !Typing()) return report_view_.Hints(scene);
  const bool usual = keys == KeysFor::kReview;
  std::vector<KeyHint> hints;
  if (usual && SheetHasKeys()) hints = works_->Hints(sheet_.kind, scene);
  if (hints.empty())
    hints = HintsFor(scene, picture_, keys);
  else
    hints.push_back({keys_.KeyFor("key list"), "all keys"});
  if (usual && !sheet_.folded)
    hints.insert(hints.end() - 1, {keys_.KeyFor("walk sheet"), "through this sheet"});
  return hints;
}

// A point can be changed by keys while it is seen.
bool App::PointChosen() const {
  return !debrief_.open() && !compare_.open() && !compare_.choosing() &&
         mark_keys_.PointChosen(player_, view_->review);
}

KeysFor App::KeysAreFor() const {
  if (sheet_.day.open) return KeysFor::kDay;
  if (Typing()) return KeysFor::kText;
  if (step_keys_.renaming()) return KeysFor::kNewName;
  if (step_keys_.other_hand()) return KeysFor::kOtherHand;
  if (PointChosen()) return KeysFor::kPoint;
  const bool differences = sheet_.kind == SheetKind::kReview && !sheet_.folded && fair_.has_differences();
  return differences ? KeysFor::kDifferences : KeysFor::kReview;
}

void App::CarryOut() {
  const Wishes wishes = std::exchange(wishes_, {});
  if (wishes.jump) {
    if (player_.playing() && timeline_.boundary) player_.Pause(now_);
    player_.JumpTo(*wishes.jump, now_);
  }
  if (wishes.hear) sound_.Hear(*wishes.hear, *view_, say_);
  if (wishes.start_step) step_keys_.Start(*wishes.start_step, wishes.start_lane, Here());
  about_ = wishes.about;
  for (const std::string& action : wishes.actions) Do(action);
  about_.reset();
  if (wishes.label_at) mark_keys_.AskLabel(*wishes.label_at, Here());
  if (wishes.change) ChangeMoment(note_, *wishes.change, Here());
  if (wishes.step_list) steps_.Keep(*wishes.step_list, Here());
  if (wishes.take_step_list) steps_.TakeFrom(*wishes.take_step_list, Here());
  if (wishes.write_step_list) steps_.WriteTo(*wishes.write_step_list);
  if (wishes.open) OpenPaths({*wishes.open});
  compare_.OpenChosen();
}

}  // namespace afterscope
