// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/cover_line.hpp"

#include "annotate/case/cover.hpp"
#include "app/desktop/look/widgets.hpp"
#include "app/desktop/picture/cover_keys.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

// Of the whole recording where the cover has no ends of its own.
HalfOpen<double> SecondsOf(const Mark& cover, const CaseClock& clock) {
  if (const auto range = RangeOfCover(cover)) return {clock.Seconds(range->start), clock.Seconds(range->end)};
  const std::vector<double>& starts = clock.Starts();
  const auto recording = static_cast<std::size_t>(std::max(0, cover.at.recording));
  if (recording >= starts.size()) return {};
  const bool last = recording + 1 == starts.size();
  return {starts[recording], last ? clock.TotalSeconds() : starts[recording + 1]};
}

}  // namespace

bool HasCovers(const Review& review) {
  return std::any_of(review.marks.begin(), review.marks.end(),
                     [](const Mark& mark) { return mark.kind == MarkKind::kCover; });
}

std::vector<CoverRecord> LayOutCovers(const Strip& strip, const CaseClock& clock, const Review& review) {
  std::vector<CoverRecord> covers;
  for (const Mark& mark : review.marks) {
    if (mark.kind != MarkKind::kCover) continue;
    const auto seconds = SecondsOf(mark, clock);
    const float left = std::max(strip.left, strip.XAt(seconds.start));
    const float right = std::min(strip.right, strip.XAt(seconds.end));
    if (seconds.empty() || right < left) continue;
    covers.push_back({left, std::max(right, left + 1), mark.id});
  }
  return covers;
}

void PaintCoverLine(const Scene& scene, ImDrawList* list, const std::vector<CoverRecord>& covers,
                    RowSpan row) {
  const Look& look = scene.look;
  const Palette& c = look.colours;
  for (const CoverRecord& cover : covers) {
    const ImVec2 from{std::round(cover.left), row.top + 1};
    const ImVec2 to{std::max(std::round(cover.right), from.x + 2), row.bottom - 1};
    list->AddRectFilled(from, to, Ink(c.raised));
    // Slanting lines the other way than those of a take-over.
    list->PushClipRect(from, to, true);
    for (float x = from.x; x < to.x + (to.y - from.y); x += look.Px(5))
      list->AddLine({x - (to.y - from.y), from.y}, {x, to.y}, Ink(c.quiet), 1);
    list->PopClipRect();
    list->AddRect(from, to, Ink(c.quiet));
  }
}

void SayCover(const Scene& scene, const std::vector<CoverRecord>& covers, RowSpan row) {
  const ImVec2 mouse = ImGui::GetIO().MousePos;
  if (mouse.y < row.top || mouse.y >= row.bottom || ImGui::IsAnyItemActive()) return;
  std::string words;
  for (const CoverRecord& record : covers)
    for (const Mark& mark : scene.view.review.marks)
      if (mark.id == record.cover && mouse.x >= record.left && mouse.x <= record.right)
        words += fmt::format("{}{}, {}", words.empty() ? "Covered: " : ";  ", WordOf(ShapeOfCover(mark)),
                             CoverWords(mark, scene));
  if (!words.empty()) scene.wishes.under = words;
}

}  // namespace afterscope
