// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/finding_card.hpp"

#include "annotate/case/words.hpp"
#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr std::size_t kMostPlaces = 6;

// A place that can be gone to.
void DrawPlace(const Scene& scene, const std::string& words, FrameRef at) {
  const Look& look = scene.look;
  const Row row = BeginRow(look, fmt::format("{} {} {}", words, at.recording, at.pts.ticks).c_str(),
                           look.Px(22), at == scene.player.playhead());
  RowText(look, row, row.from.x + look.Px(4), "→ " + ClockText(scene.Seconds(at), 2), look.colours.text,
          look.fonts.small);
  RowText(look, row, row.from.x + look.Px(92), words, look.colours.quiet, look.fonts.small,
          row.to.x - row.from.x - look.Px(96));
  if (row.pressed) scene.wishes.jump = at;
  if (row.hovered) scene.wishes.under = "Go to this frame: " + words;
}

const Mark* FindMark(const Review& review, const MarkId& id) {
  const auto found =
      std::find_if(review.marks.begin(), review.marks.end(), [&](const Mark& mark) { return mark.id == id; });
  return found == review.marks.end() ? nullptr : &*found;
}

void DrawMarks(const Scene& scene, const Finding& finding) {
  std::size_t shown = 0;
  for (const MarkId& id : finding.marks) {
    const Mark* mark = FindMark(scene.view.review, id);
    if (mark == nullptr || shown == kMostPlaces) continue;
    DrawPlace(scene, fmt::format("{}, {} points", WordOf(mark->kind), mark->points.size()), mark->at);
    ++shown;
  }
  if (finding.marks.size() > shown)
    SayQuietly(scene.look, fmt::format("and {} more marks", finding.marks.size() - shown));
}

void DrawScale(const Scene& scene, const Finding& finding) {
  if (!finding.scale) return;
  for (const ScaleDef& scale : scene.view.review.scales) {
    if (scale.id != *finding.scale) continue;
    const Mark* mark = FindMark(scene.view.review, scale.mark);
    if (mark != nullptr) return DrawPlace(scene, fmt::format("scale: {}", WordOf(scale.source)), mark->at);
  }
  SayQuietly(scene.look, "Scale: " + finding.scale->value);
}

// Frames that no mark stands for, the first few of them.
void DrawFrames(const Scene& scene, const Finding& finding) {
  if (!finding.marks.empty()) return;
  const std::size_t shown = std::min(finding.frames.size(), kMostPlaces);
  for (std::size_t i = 0; i < shown; ++i)
    DrawPlace(
        scene,
        finding.frames.size() == 1 ? "frame" : fmt::format("frame {} of {}", i + 1, finding.frames.size()),
        finding.frames[i]);
}

}  // namespace

void DrawFindingCard(const Scene& scene, const Finding& finding, const std::string& label,
                     const std::string& value, const std::string& limits) {
  const Look& look = scene.look;
  ImGui::PushID(finding.name.c_str());
  ImGui::Indent(look.Px(8));
  Say(look, label, look.colours.text, look.fonts.small, true);
  Say(look,
      limits.empty()
          ? value
          : fmt::format("{}   {:.0f} %: {}", value, 100 * finding.measured.estimate->level, limits),
      look.colours.text, look.fonts.small, true);
  DrawMarks(scene, finding);
  DrawFrames(scene, finding);
  DrawScale(scene, finding);
  SayQuietly(look, finding.measured.method);
  for (const std::string& caution : finding.measured.cautions) SayQuietly(look, "! " + caution);
  ImGui::Dummy({0, look.Px(4)});
  ImGui::Unindent(look.Px(8));
  ImGui::PopID();
}

}  // namespace afterscope
