// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/cover.hpp"
#include "annotate/case/incision.hpp"
#include "annotate/case/tagging.hpp"
#include "annotate/case/words.hpp"
#include "app/desktop/desk/mark_edits.hpp"
#include "app/desktop/look/button_row.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/picture/cover_keys.hpp"
#include "app/desktop/sheets/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <iterator>

namespace afterscope {
namespace {

Rgb ColourOf(MarkKind kind) {
  switch (kind) {
    case MarkKind::kLimbus:
      return ColorOf(Role::kLimbus);
    case MarkKind::kPupil:
      return ColorOf(Role::kPupil);
    case MarkKind::kRhexis:
      return ColorOf(Role::kRhexis);
    case MarkKind::kLensEdge:
      return ColorOf(Role::kLensEdge);
    case MarkKind::kIncision:
      return ColorOf(Role::kIncision);
    default:
      return ColorOf(Role::kRuler);
  }
}

std::size_t PointsHere(const Scene& scene, Tool tool) {
  const FrameRef at = scene.player.playhead();
  if (tool == Tool::kTip) {
    for (const Trail& trail : scene.view.review.trails)
      for (const TrailPoint& point : trail.points)
        if (point.at == at) return 1;
    return 0;
  }
  if (tool == Tool::kCover) return 0;
  for (const Mark& mark : scene.view.review.marks)
    if (mark.at == at && mark.kind == KindOf(tool)) return mark.points.size();
  return 0;
}

void DrawTool(PictureState& picture, const Scene& scene, Tool tool) {
  const Look& look = scene.look;
  const bool chosen = picture.tool == tool;
  const Row row = BeginRow(look, ToolWord(tool), look.Px(25), chosen);
  if (row.pressed) scene.wishes.actions.push_back(ToolAction(tool));
  if (row.hovered)
    scene.wishes.under = chosen                 ? "Put the tool away"
                         : tool == Tool::kCover ? "Hide a part of the picture before anything is shared"
                                                : fmt::format("Mark the {} on this frame", ToolWord(tool));
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float middle = (row.from.y + row.to.y) / 2;
  const Rgb colour =
      tool == Tool::kTip ? ColorOf(Role::kTip) : ColourOf(KindOf(tool).value_or(MarkKind::kRuler));
  const Rgb ink = look.colours.light ? Mixed(colour, kCasing, 0.35) : colour;
  if (IsOutlineTool(tool))
    list->AddCircle({row.from.x + look.Px(14), middle}, look.Px(6), Ink(ink), 0, look.Px(2));
  else if (tool == Tool::kCover)
    list->AddRectFilled({row.from.x + look.Px(8), middle - look.Px(5)},
                        {row.from.x + look.Px(20), middle + look.Px(5)}, Ink(look.colours.quiet));
  else if (tool == Tool::kTip || tool == Tool::kGrasp)
    list->AddCircleFilled({row.from.x + look.Px(14), middle}, look.Px(4), Ink(ink));
  else
    list->AddLine({row.from.x + look.Px(7), middle + look.Px(4)},
                  {row.from.x + look.Px(21), middle - look.Px(4)}, Ink(ink), look.Px(2));
  RowText(look, row, row.from.x + look.Px(32), ToolWord(tool), look.colours.text,
          chosen ? look.fonts.strong : look.fonts.body);
  const std::size_t points = PointsHere(scene, tool);
  const std::string key = scene.keys.KeyFor(ToolAction(tool));
  const float key_width = key.empty() ? 0 : KeyWidth(look, key);
  if (!key.empty()) DrawKey(look, list, {row.to.x - key_width - look.Px(5), row.from.y + look.Px(3)}, key);
  if (points > 0)
    RowTextRight(look, row, row.to.x - key_width - look.Px(16),
                 points == 1 ? "1 point here" : fmt::format("{} points here", points), look.colours.quiet,
                 look.fonts.small);
}

void DrawStageChoice(const Scene& scene, EditQueue& edits, const Mark& mark) {
  const auto found = mark.fields.find("stage");
  const std::string stage = found == mark.fields.end() ? "completion" : found->second;
  if (EitherButton(scene.look, "completion", "over optic", stage != "completion",
                   scene.keys.KeyFor("rhexis stage")))
    edits.Push([mark](CaseSession&) { return OtherRhexisStage(mark); });
}

void DrawOpeningChoice(const Scene& scene, EditQueue& edits, const Mark& mark) {
  const auto found = mark.fields.find("opening");
  const std::string now = found == mark.fields.end() || found->second.empty() ? "rhexis" : found->second;
  for (const char* word : {"rhexis", "can-opener", "envelope"}) {
    if (word != std::string("rhexis")) ImGui::SameLine();
    if (WordButton(scene.look, word, now == word) && now != word)
      edits.Push([mark, word](CaseSession&) { return NameOpening(mark, word); });
  }
}

void DrawIncisionChoice(const Scene& scene, EditQueue& edits, const Mark& mark) {
  const IncisionKind now = KindOfIncision(mark);
  for (const IncisionKind kind : {IncisionKind::kMain, IncisionKind::kSidePort, IncisionKind::kTunnel}) {
    if (kind != IncisionKind::kMain) ImGui::SameLine();
    if (WordButton(scene.look, WordOf(kind), now == kind && !NameOfIncision(mark).empty()))
      edits.Push([mark, kind](CaseSession&) { return NameIncision(mark, kind); });
  }
}

void DrawRulerLength(const Scene& scene, EditQueue& edits, const Mark& mark) {
  const auto& scales = scene.view.review.scales;
  const auto scale =
      std::find_if(scales.begin(), scales.end(), [&](const ScaleDef& s) { return s.mark == mark.id; });
  auto mm = static_cast<float>(scale == scales.end() ? 0 : scale->known_mm.value_or(0));
  ImGui::SetNextItemWidth(scene.look.Px(90));
  ImGui::InputFloat("mm long (known)", &mm, 0, 0, "%.2f");
  const bool left = ImGui::IsItemDeactivatedAfterEdit();
  ImGui::SameLine();
  const std::string key = scene.keys.KeyFor("known length");
  DrawKey(scene.look, ImGui::GetWindowDrawList(), ImGui::GetCursorScreenPos(), key);
  ImGui::NewLine();
  if (!left) return;
  edits.Push([id = mark.id, mm](CaseSession& session) {
    const auto length = mm > 0 ? std::optional(KnownLength{mm, 0}) : std::nullopt;
    return SetRulerLength(session.review(), id, length, [&session] { return session.NewScaleId(); });
  });
}

void DrawMark(const Scene& scene, EditQueue& edits, const Mark& mark) {
  const Look& look = scene.look;
  const bool here = mark.at == scene.player.playhead();
  const Row row = BeginRow(look, mark.id.value.c_str(), look.Px(24), here);
  if (row.pressed) scene.wishes.jump = mark.at;
  if (row.hovered) scene.wishes.under = "Go to this mark  –  Del removes it";
  if (row.hovered && scene.Editable() && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Delete), false))
    edits.Push([id = mark.id](CaseSession& session) { return RemoveMark(session.review(), id); });
  const Rgb ink = look.colours.light ? Mixed(ColourOf(mark.kind), kCasing, 0.35) : ColourOf(mark.kind);
  ImGui::GetWindowDrawList()->AddCircleFilled({row.from.x + look.Px(14), (row.from.y + row.to.y) / 2},
                                              look.Px(4), Ink(ink));
  RowText(look, row, row.from.x + look.Px(28), ClockText(scene.Seconds(mark.at), 1), look.colours.quiet,
          look.fonts.small);
  const auto stage = mark.fields.find("stage");
  const std::string named = mark.kind == MarkKind::kIncision ? NameOfIncision(mark) : mark.text;
  const std::string words = std::string(WordOf(mark.kind)) +
                            (stage == mark.fields.end() ? "" : ", " + stage->second) +
                            (named.empty() ? "" : ", " + named);
  RowText(look, row, row.from.x + look.Px(88), words, look.colours.text, look.fonts.body,
          row.to.x - row.from.x - look.Px(160));
  RowTextRight(look, row, row.to.x - look.Px(5), fmt::format("{} points", mark.points.size()),
               look.colours.quiet, look.fonts.small);
  if (!here || !scene.Editable()) return;
  ImGui::PushID(mark.id.value.c_str());
  ImGui::Indent(look.Px(28));
  if (mark.kind == MarkKind::kRhexis) {
    DrawStageChoice(scene, edits, mark);
    DrawOpeningChoice(scene, edits, mark);
  }
  if (mark.kind == MarkKind::kIncision) DrawIncisionChoice(scene, edits, mark);
  if (mark.kind == MarkKind::kRuler || mark.kind == MarkKind::kObject) DrawRulerLength(scene, edits, mark);
  ImGui::Unindent(look.Px(28));
  ImGui::PopID();
}

void DrawCoverKeys(const Scene& scene) {
  ButtonRow row(scene.look);
  constexpr std::array<std::pair<const char*, const char*>, 4> kKeys{{{"From here", "cover from here"},
                                                                      {"To here", "cover to here"},
                                                                      {"Throughout", "cover throughout"},
                                                                      {"Next shape", "cover shape"}}};
  for (const auto& [words, action] : kKeys)
    if (row.Add(words, scene.keys.KeyFor(action))) scene.wishes.actions.emplace_back(action);
}

// A cover is no mark of one frame: it says how long it hides what it hides.
void DrawCover(const Scene& scene, EditQueue& edits, const Mark& cover) {
  const Look& look = scene.look;
  const bool here = CoverHolds(cover, scene.player.playhead());
  const Row row = BeginRow(look, cover.id.value.c_str(), look.Px(24), here);
  if (row.pressed) scene.wishes.jump = cover.at;
  if (row.hovered) scene.wishes.under = "Go to where this cover begins  –  Del removes it";
  if (row.hovered && scene.Editable() && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Delete), false))
    edits.Push([id = cover.id](CaseSession& session) { return RemoveMark(session.review(), id); });
  const float middle = (row.from.y + row.to.y) / 2;
  ImGui::GetWindowDrawList()->AddRectFilled({row.from.x + look.Px(9), middle - look.Px(4)},
                                            {row.from.x + look.Px(19), middle + look.Px(4)},
                                            Ink(look.colours.quiet));
  const std::string words = CoverWords(cover, scene);
  RowTextRight(look, row, row.to.x - look.Px(5), words, look.colours.quiet, look.fonts.small);
  const float left = row.from.x + look.Px(28);
  RowText(look, row, left, std::string(WordOf(ShapeOfCover(cover))), look.colours.text, look.fonts.body,
          row.to.x - left - look.Px(12) - look.script->Size(look.fonts.small, words).x);
}

void DrawCovers(const Scene& scene, EditQueue& edits) {
  std::size_t count = 0;
  for (const Mark& mark : scene.view.review.marks) count += mark.kind == MarkKind::kCover ? 1 : 0;
  if (count == 0) return;
  Heading(scene.look, "Covers");
  if (scene.Editable()) DrawCoverKeys(scene);
  for (const Mark& mark : scene.view.review.marks)
    if (mark.kind == MarkKind::kCover) DrawCover(scene, edits, mark);
}

// Marks of one kind frame after frame are one line, besides the one on this frame.
void DrawRun(const Scene& scene, const Mark& first, const Mark& last, std::size_t count) {
  const Look& look = scene.look;
  const Row row = BeginRow(look, ("run " + first.id.value).c_str(), look.Px(24), false);
  if (row.pressed) scene.wishes.jump = first.at;
  if (row.hovered)
    scene.wishes.under = fmt::format("From {} to {}: go to the first", ClockText(scene.Seconds(first.at), 1),
                                     ClockText(scene.Seconds(last.at), 1));
  const Rgb ink = look.colours.light ? Mixed(ColourOf(first.kind), kCasing, 0.35) : ColourOf(first.kind);
  ImGui::GetWindowDrawList()->AddCircle({row.from.x + look.Px(14), (row.from.y + row.to.y) / 2}, look.Px(4),
                                        Ink(ink), 0, look.Px(1.5F));
  RowText(look, row, row.from.x + look.Px(28), ClockText(scene.Seconds(first.at), 1), look.colours.quiet,
          look.fonts.small);
  RowText(look, row, row.from.x + look.Px(88), std::string(WordOf(first.kind)) + " again and again",
          look.colours.text, look.fonts.body, row.to.x - row.from.x - look.Px(160));
  RowTextRight(look, row, row.to.x - look.Px(5), fmt::format("{} frames", count), look.colours.quiet,
               look.fonts.small);
}

void DrawMarks(const Scene& scene, EditQueue& edits, const std::vector<Mark>& marks) {
  constexpr std::size_t kRun = 4;
  for (std::size_t i = 0; i < marks.size();) {
    std::size_t end = i + 1;
    while (end < marks.size() && marks[end].kind == marks[i].kind) ++end;
    const bool run = end - i >= kRun;
    if (run) DrawRun(scene, marks[i], marks[end - 1], end - i);
    for (; i < end; ++i)
      if (!run || marks[i].at == scene.player.playhead()) DrawMark(scene, edits, marks[i]);
  }
}

void DrawCopyLine(const Scene& scene) {
  ButtonRow row(scene.look);
  if (row.Add("Copy these", scene.keys.KeyFor("copy marks"))) scene.wishes.actions.emplace_back("copy marks");
  if (row.Add("Put here", scene.keys.KeyFor("paste marks"))) scene.wishes.actions.emplace_back("paste marks");
}

void DrawTrail(const Scene& scene, EditQueue& edits, const Trail& trail) {
  if (trail.points.empty()) return;
  const Look& look = scene.look;
  const Row row = BeginRow(look, ("trail " + trail.id.value).c_str(), look.Px(24), false);
  if (row.pressed) scene.wishes.jump = trail.points.front().at;
  if (row.hovered) scene.wishes.under = "Go to the start of this trail  –  Del removes it";
  if (row.hovered && scene.Editable() && ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Delete), false))
    edits.Push([id = trail.id](CaseSession&) -> Result<EditGroup> {
      return EditGroup{"Remove trail", {Remove<TrailId>{id}}};
    });
  const double from = scene.Seconds(trail.points.front().at);
  const double to = scene.Seconds(trail.points.back().at);
  RowText(look, row, row.from.x + look.Px(28), ClockText(from, 1), look.colours.quiet, look.fonts.small);
  const std::string words =
      (trail.instrument.empty() ? std::string("tip") : trail.instrument) + ", " + LengthText(to - from);
  RowText(look, row, row.from.x + look.Px(88), words, look.colours.text, look.fonts.body,
          row.to.x - row.from.x - look.Px(160));
  RowTextRight(look, row, row.to.x - look.Px(5), fmt::format("{} points", trail.points.size()),
               look.colours.quiet, look.fonts.small);
}

}  // namespace

void DrawMarksSheet(PictureState& picture, const Scene& scene, EditQueue& edits) {
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {scene.look.Px(6), scene.look.Px(1)});
  for (const Tool tool :
       {Tool::kLimbus, Tool::kPupil, Tool::kRhexis, Tool::kLensEdge, Tool::kTip, Tool::kGrasp, Tool::kRuler,
        Tool::kIncision, Tool::kArrow, Tool::kLabel, Tool::kCover})
    DrawTool(picture, scene, tool);
  const Review& review = scene.view.review;
  std::vector<Mark> marks;
  std::copy_if(review.marks.begin(), review.marks.end(), std::back_inserter(marks),
               [](const Mark& mark) { return mark.kind != MarkKind::kCover; });
  if (!marks.empty()) {
    Heading(scene.look, "Marks");
    if (scene.Editable()) DrawCopyLine(scene);
    DrawMarks(scene, edits, marks);
  }
  if (!review.trails.empty()) {
    Heading(scene.look, "Trails");
    for (const Trail& trail : review.trails) DrawTrail(scene, edits, trail);
  }
  DrawCovers(scene, edits);
  if (review.marks.empty() && review.trails.empty()) {
    ImGui::Dummy({0, scene.look.Px(6)});
    SayQuietly(scene.look,
               "Take up a tool and click on the picture. Eight points on the limbus give the scale.");
  }
  ImGui::PopStyleVar();
}

}  // namespace afterscope
