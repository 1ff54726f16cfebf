// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/clip/clip_frames.hpp"
#include "app/common/console.hpp"
#include "app/desktop/clips/clip_sheet.hpp"
#include "app/desktop/clips/share_list.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/part.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/notes/strip.hpp"
#include "app/desktop/work_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

std::string LengthOfPart(const ClipPart& part, const CaseClock& clock, bool other_case) {
  if (other_case && part.kind == ClipPartKind::kStretch) return "another case";
  std::string length = LengthText(PartSeconds(part, clock));
  if (part.kind == ClipPartKind::kStretch && part.speed != 1) length = SpeedText(part.speed) + "   " + length;
  return length;
}

void DrawBar(const Look& look, double share) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetContentRegionAvail().x;
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float height = look.Px(6);
  list->AddRectFilled(at, {at.x + width, at.y + height}, Ink(look.colours.rule), look.Px(3));
  list->AddRectFilled(at, {at.x + width * static_cast<float>(std::clamp(share, 0.0, 1.0)), at.y + height},
                      Ink(look.colours.focus), look.Px(3));
  ImGui::Dummy({width, height + look.Px(2)});
}

// Until they are read.
OtherCovers Uncounted() { return {0, "The covers of all reviews are being counted."}; }

std::string CoverLine(const Review& review, const std::optional<OtherCovers>& others,
                      const std::string& marks_key) {
  if (!others) return Uncounted().problem;
  if (!others->problem.empty()) return "!  " + others->problem;
  const std::string count = CoverCount(review, *others);
  return count.empty()
             ? kNoCover
             : fmt::format("{} burnt into every part; {} lists those of this review.", count, marks_key);
}

}  // namespace

void ClipSheet::Key(ButtonRow& row, const Scene& scene, const char* words, const char* action, bool chosen) {
  if (row.Add(words, scene.keys.KeyFor(action), chosen)) scene.wishes.actions.emplace_back(action);
}

void ClipSheet::DrawPartSwitches(const Scene& scene, const ClipPart& part) {
  const Look& look = scene.look;
  ImGui::Indent(look.Px(20));
  const bool stretch = part.kind == ClipPartKind::kStretch;
  if (part.kind != ClipPartKind::kTitle && part.case_folder == keeper_.NameOf(folder_))
    SayQuietly(look, ClockText(scene.Seconds(part.start), 1) +
                         (stretch ? " – " + ClockText(scene.Seconds(part.end), 1) : std::string()) +
                         " of the case");
  ButtonRow row(look);
  Key(row, scene, part.kind == ClipPartKind::kTitle ? "Words" : "Heading", "remark");
  Key(row, scene, stretch ? "Faster" : "Longer", "faster");
  Key(row, scene, stretch ? "Slower" : "Shorter", "slower");
  if (stretch) Key(row, scene, "Stand still here", "clip freeze");
  Key(row, scene, fmt::format("Fade {:g} s", part.fade_seconds).c_str(), "clip fade", part.fade_seconds > 0);
  Key(row, scene, "Earlier", "boundary earlier");
  Key(row, scene, "Later", "boundary later");
  Key(row, scene, "Remove", "remove");
  if (part.kind != ClipPartKind::kTitle) DrawPictureSwitches(scene, part);
  ButtonRow sound(look);
  if (stretch) Key(sound, scene, "Its own sound", "mute", part.sound == ClipSound::kOriginal);
  Key(sound, scene, "Sound file", "clip sound file", part.sound == ClipSound::kFile);
  Key(sound, scene, "Voice-over", "clip voice", part.voice);
  if (part.voice && !part.take.empty()) SayQuietly(look, "With the sound of " + part.take);
  if (part.sound == ClipSound::kFile) SayQuietly(look, "Over " + part.sound_file);
  ImGui::Dummy({0, look.Px(3)});
  ImGui::Unindent(look.Px(20));
}

void ClipSheet::DrawPictureSwitches(const Scene& scene, const ClipPart& part) {
  const Look& look = scene.look;
  ButtonRow row(look);
  Key(row, scene, "Outlines", "drawings", part.outlines);
  Key(row, scene, "Dial", "clip dial", part.dial);
  Key(row, scene, "Findings", "clip findings", part.findings);
  Key(row, scene, "Trail", "clip trail", part.trail);
  Key(row, scene, "Timer", "clip timer", part.timer);
  Key(row, scene, "Captions", "clip captions", part.captions);
  if (!part.notes.empty())
    Key(row, scene,
        fmt::format("Take back {}", part.notes.size() == 1 ? "the arrow" : "the last arrow").c_str(),
        "clip arrow away");
  if (part.view != part.view_at_end)
    SayQuietly(look, fmt::format("Moves from {:.1f} to {:.1f} times as near", part.view.zoom,
                                 part.view_at_end.zoom));
  else if (part.view.zoom > 1)
    SayQuietly(look, fmt::format("{:.1f} times as near", part.view.zoom));
  if (!preview_.open()) return;
  ButtonRow view(look);
  Key(view, scene, ViewEndWords(view_end_).c_str(), "clip view end", view_end_ != ViewEnd::kBoth);
  Key(view, scene, "Nearer", "zoom in");
  Key(view, scene, "Farther", "zoom out");
  Key(view, scene, "Whole picture", "fit");
  Key(view, scene, "Arrow or words", "mark arrow", arrow_);
}

void ClipSheet::DrawPart(const Scene& scene, std::size_t index) {
  const Look& look = scene.look;
  const ClipPart& part = keeper_.plan().parts[index];
  const bool chosen = index == chosen_;
  const Row row = BeginRow(look, fmt::format("part {}", index).c_str(), look.Px(25), chosen);
  if (row.pressed) Choose(index, scene);
  const std::string length = LengthOfPart(part, scene.clock, part.case_folder != keeper_.NameOf(folder_));
  const float width = look.script->Size(look.fonts.small, length).x;
  RowText(look, row, row.from.x + look.Px(6), fmt::format("{}", index + 1), look.colours.quiet,
          look.fonts.small);
  const float text_at = row.from.x + look.Px(26);
  const std::string title = PartTitle(part, index);
  RowText(look, row, text_at, part.kind == ClipPartKind::kTitle ? "“" + title + "”" : title,
          look.colours.text, look.fonts.body, row.to.x - text_at - width - look.Px(14));
  RowTextRight(look, row, row.to.x - look.Px(5), length, look.colours.quiet, look.fonts.small);
  if (chosen) DrawPartSwitches(scene, part);
}

void ClipSheet::DrawMade(const Scene& scene) {
  const Look& look = scene.look;
  for (const JobHandle& work : {exporting_, finding_}) {
    if (!work || work->ended()) continue;
    Say(look, WorkWords(*work), look.colours.text, look.fonts.body, true);
    DrawBar(look, work->share());
    ImGui::PushID(work.get());
    ButtonRow row(look);
    Key(row, scene, "Stop", "clip stop");
    ImGui::PopID();
  }
  if (!refused_.empty()) Say(look, "!  " + refused_, look.colours.warning, look.fonts.body, true);
  for (std::size_t i = 0; i < made_.size(); ++i) {
    if (i == 0) Say(look, "The clip is in", look.colours.quiet, look.fonts.small);
    Say(look, made_[i], look.colours.text, i == 0 ? look.fonts.body : look.fonts.small, true);
  }
}

void ClipSheet::DrawExport(const Scene& scene) {
  const Look& look = scene.look;
  const ClipPlan& plan = keeper_.plan();
  ButtonRow row(look);
  if (!plan.parts.empty()) {
    Key(row, scene, "Preview", "clip preview", preview_.open());
    Key(row, scene, "Make the clip", "clip export");
  }
  Key(row, scene, fmt::format("For {}", purpose_).c_str(), "clip purpose");
  Key(row, scene, webm_ ? "WebM" : "MP4", "clip form");
  Key(row, scene, fmt::format("{} × {}", plan.width, plan.height).c_str(), "clip size");
  Key(row, scene, fmt::format("{:g} pictures a second", plan.rate.value()).c_str(), "clip rate");
  Key(row, scene, "Parts of other cases", "clip hold", keeper_.held());
  SayQuietly(look, CoverLine(scene.view.review, other_covers_, scene.keys.KeyFor("sheet marks")));
  ButtonRow covering(look);
  Key(covering, scene, "Find words to cover", "clip find words");
  Key(covering, scene, "Captions, chapters, steps as files", "captions and steps");
}

void ClipSheet::Draw(const Scene& scene) {
  const Look& look = scene.look;
  const ClipPlan& plan = keeper_.plan();
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {look.Px(5), look.Px(4)});
  // Above all else too: what stands below may be out of sight.
  ImGui::PushID("while speaking");
  voice_.DrawSpoken(scene);
  ImGui::PopID();
  {
    ButtonRow row(look);
    Key(row, scene, "Clip of what is here", "clip of this");
    Key(row, scene, "This step becomes a part", "step into clip");
    Key(row, scene, "All of this step", "steps into clip");
    Key(row, scene, "This frame, still", "still into clip");
    Key(row, scene, "Title card", "clip title card");
  }
  DrawMade(scene);
  Heading(look, plan.parts.empty() ? "The clip has no parts yet"
                                   : fmt::format("The clip: {} {}, {}", plan.parts.size(),
                                                 plan.parts.size() == 1 ? "part" : "parts",
                                                 LengthText(PlanSeconds(plan, scene.clock))));
  if (plan.parts.empty())
    SayQuietly(
        look,
        "One key makes a clip of two minutes at most from the step or moment under the playhead. Another "
        "adds the step to a clip of several parts, which is kept with the case.");
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {look.Px(5), look.Px(2)});
  for (std::size_t i = 0; i < plan.parts.size(); ++i) DrawPart(scene, i);
  ImGui::PopStyleVar();
  ThinRule(look);
  DrawExport(scene);
  ThinRule(look);
  voice_.Draw(scene);
  ImGui::PopStyleVar();
}

void ClipSheet::DrawPreviewLine(const Scene& scene, const ScreenRect& picture) {
  const Look& look = scene.look;
  const float height = look.Px(kPreviewLineHeight);
  preview_.FitHeight(static_cast<int>(picture.Height() - height));
  const PreviewShown shown = preview_.shown();
  const ScreenRect line{picture.left, picture.bottom - height, picture.right, picture.bottom};
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled({line.left, line.top}, {line.right, line.bottom}, Ink(look.colours.sheet, 0.9));
  const float words_y = std::round((line.top + line.bottom - look.fonts.small->FontSize) / 2);
  const std::string words = !shown.problem.empty() ? "!  " + shown.problem
                            : shown.picture.empty()
                                ? "The preview is being made …"
                                : fmt::format("Preview   {} of {}   part {}{}", ClockText(shown.seconds, 1),
                                              TotalText(shown.total_s, 1), shown.part + 1,
                                              speaker_.problem().empty() ? "" : "   without sound");
  const float words_width = look.script->Size(look.fonts.small, words).x;
  look.script->Draw(list, look.fonts.small, {line.left + look.Px(10), words_y},
                    Ink(shown.problem.empty() ? look.colours.text : look.colours.warning), words);
  const float left = line.left + words_width + look.Px(24), right = line.right - look.Px(12);
  if (right - left < look.Px(40) || shown.total_s <= 0) return;
  const float y = std::round((line.top + line.bottom) / 2);
  list->AddRectFilled({left, y - look.Px(3)}, {right, y + look.Px(3)}, Ink(look.colours.rule), look.Px(3));
  const auto x = left + (right - left) * static_cast<float>(shown.seconds / shown.total_s);
  list->AddRectFilled({left, y - look.Px(3)}, {x, y + look.Px(3)}, Ink(look.colours.focus), look.Px(3));
  ImGui::SetCursorScreenPos({left, line.top});
  ImGui::InvisibleButton("preview place", {right - left, height});
  if (ImGui::IsItemActive())
    preview_.JumpTo(std::clamp((ImGui::GetIO().MousePos.x - left) / (right - left), 0.0F, 1.0F));
}

void ClipSheet::DrawShareList(const Scene& scene, const ScreenRect& picture) {
  const Look& look = scene.look;
  const OtherCovers others = other_covers_ ? *other_covers_ : Uncounted();
  const ShareFacts facts{scene.view.record, scene.view.review, others, wanted_->plan, purpose_, Today()};
  // Where the picture is low, it may reach over the timeline and the sheet.
  const ImVec2 window = ImGui::GetIO().DisplaySize;
  const bool low = picture.Height() < look.Px(310);
  BeginStrip("share list", look,
             low ? ScreenRect{0, 0, window.x, window.y - look.Px(kBottomLineHeight)} : picture);
  Say(look, "Before a clip of this case is shared", look.colours.text, look.fonts.strong);
  for (const WordList::Item& check : checks_.items) {
    Say(look, "•  " + check.name + (check.definition.empty() ? "" : ": " + check.definition),
        look.colours.text, look.fonts.body, true);
    const std::string known = KnownOf(check.key, facts);
    if (known.empty()) continue;
    ImGui::Indent(look.Px(14));
    SayQuietly(look, known);
    ImGui::Unindent(look.Px(14));
  }
  ImGui::Dummy({0, look.Px(3)});
  ButtonRow row(look);
  Key(row, scene, "I have looked at all of these: make the clip", "remark");
  Key(row, scene, "Not now", "leave");
  EndStrip();
}

void ClipSheet::DrawOver(const Scene& scene, const ScreenRect& picture) {
  if (preview_.open()) {
    ScreenRect frame = picture;
    frame.bottom -= scene.look.Px(kPreviewLineHeight);
    PointInPreview(scene, frame);
    DrawPreviewLine(scene, picture);
  }
  if (wanted_) DrawShareList(scene, picture);
}

}  // namespace afterscope
