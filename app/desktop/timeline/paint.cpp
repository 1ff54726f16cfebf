// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/timeline/paint.hpp"

#include "app/desktop/look/clock_text.hpp"
#include "app/desktop/look/widgets.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace afterscope {
namespace {

// Slanting lines over a take-over: seen without colour too.
void PaintHatching(ImDrawList* list, ImVec2 from, ImVec2 to, ImU32 colour, float distance) {
  list->PushClipRect(from, to, true);
  const float height = to.y - from.y;
  for (float x = from.x - height; x < to.x; x += distance)
    list->AddLine({x, to.y}, {x + height, from.y}, colour, 1.5F);
  list->PopClipRect();
}

void PaintBand(const Scene& scene, ImDrawList* list, const BandRecord& band, RowSpan row,
               const ImFont* font) {
  const Look& look = scene.look;
  const Palette& c = look.colours;
  const ImVec2 from{band.left, row.top};
  const ImVec2 to{std::max(band.right - 1, band.left + 1), row.bottom};
  const Rgb fill = band.step.empty() ? c.faint : c.Band(TintOrder(scene.steps, band.step));
  list->AddRectFilled(from, to, Ink(fill));
  if (band.taken_over)
    PaintHatching(list, from, to, Ink(c.light ? kWhite : okabe_ito::kBlack, 0.45), look.Px(7));
  if (band.open_end) {  // it fades where no end was set
    const float start = std::max(from.x, to.x - look.Px(36));
    list->AddRectFilledMultiColor({start, from.y}, to, Ink(c.sheet, 0), Ink(c.sheet, 0.8), Ink(c.sheet, 0.8),
                                  Ink(c.sheet, 0));
  }
  const float inside = to.x - from.x - look.Px(8);
  if (band.step.empty() || inside < look.Px(14)) return;
  const std::string name = Fitted(look, font, scene.steps.NameOf(band.step), inside);
  const float height = look.script->Size(font, name).y;
  look.script->Draw(list, font, {std::round(from.x + look.Px(5)), std::round((from.y + to.y - height) / 2)},
                    Ink(c.BandText()), name);
}

}  // namespace

std::size_t TintOrder(const StepList& steps, const std::string& key) {
  for (std::size_t i = 0; i < steps.steps.size(); ++i)
    if (steps.steps[i].key == key) return i;
  return steps.steps.size() + std::hash<std::string>{}(key) % 7;
}

void PaintBands(const Scene& scene, ImDrawList* list, const std::vector<BandRecord>& bands, RowSpan row,
                const ImFont* font) {
  for (const BandRecord& band : bands) PaintBand(scene, list, band, row, font);
}

void PaintMomentSign(const Look& look, ImDrawList* list, MomentKind kind, ImVec2 at, float size) {
  const Palette& c = look.colours;
  const float r = size / 2;
  switch (kind) {
    case MomentKind::kRemark:
      list->AddRectFilled({at.x - r, at.y - r * 0.8F}, {at.x + r, at.y + r * 0.45F}, Ink(c.text), r * 0.3F);
      list->AddTriangleFilled({at.x - r * 0.5F, at.y + r * 0.4F}, {at.x + r * 0.1F, at.y + r * 0.4F},
                              {at.x - r * 0.5F, at.y + r}, Ink(c.text));
      break;
    case MomentKind::kTeachingPoint:
      list->AddQuadFilled({at.x, at.y - r}, {at.x + r, at.y}, {at.x, at.y + r}, {at.x - r, at.y},
                          Ink(c.focus));
      break;
    case MomentKind::kComplication:
      list->AddTriangleFilled({at.x, at.y - r}, {at.x + r * 1.05F, at.y + r * 0.8F},
                              {at.x - r * 1.05F, at.y + r * 0.8F}, Ink(c.warning));
      list->AddLine({at.x, at.y - r * 0.35F}, {at.x, at.y + r * 0.25F}, Ink(okabe_ito::kBlack),
                    std::max(1.0F, size * 0.12F));
      list->AddCircleFilled({at.x, at.y + r * 0.55F}, std::max(0.8F, size * 0.07F), Ink(okabe_ito::kBlack));
      break;
    case MomentKind::kSettings:
      for (int i = -1; i <= 1; ++i) {
        const float y = at.y + static_cast<float>(i) * r * 0.65F;
        list->AddLine({at.x - r, y}, {at.x + r, y}, Ink(c.quiet), std::max(1.0F, size * 0.1F));
        list->AddCircleFilled({at.x + static_cast<float>(i) * r * 0.5F, y}, size * 0.16F, Ink(c.text));
      }
      break;
    case MomentKind::kCheck:
      list->AddCircle(at, r * 0.95F, Ink(c.text), 0, std::max(1.0F, size * 0.1F));
      list->AddLine({at.x - r * 0.45F, at.y}, {at.x - r * 0.1F, at.y + r * 0.4F}, Ink(c.text),
                    std::max(1.2F, size * 0.12F));
      list->AddLine({at.x - r * 0.1F, at.y + r * 0.4F}, {at.x + r * 0.5F, at.y - r * 0.4F}, Ink(c.text),
                    std::max(1.2F, size * 0.12F));
      break;
  }
}

void PaintMoments(const Scene& scene, ImDrawList* list, const std::vector<MomentRecord>& moments,
                  RowSpan row) {
  const float size = std::round((row.bottom - row.top) * 0.78F);
  for (const MomentRecord& record : moments)
    PaintMomentSign(scene.look, list, record.kind, {record.x, (row.top + row.bottom) / 2}, size);
}

void PaintTicks(const Scene& scene, ImDrawList* list, const OperationLayout& layout, RowSpan row) {
  const Look& look = scene.look;
  const int decimals =
      layout.ticks.size() > 1 && layout.ticks[1].seconds - layout.ticks[0].seconds < 1 ? 1 : 0;
  for (const TimeTick& tick : layout.ticks) {
    const float x = std::round(tick.x) + 0.5F;
    list->AddLine({x, row.top}, {x, row.top + look.Px(5)}, Ink(look.colours.faint));
    const std::string text = ClockText(tick.seconds, decimals);
    if (tick.x + look.Px(4) + look.script->Size(look.fonts.small, text).x > layout.strip.right) continue;
    look.script->Draw(list, look.fonts.small, {x + look.Px(4), row.top}, Ink(look.colours.quiet), text);
  }
  for (const float joint : layout.joints)
    for (float y = row.top - look.Px(32); y < row.bottom; y += look.Px(6))
      list->AddLine({joint, y}, {joint, y + look.Px(3)}, Ink(look.colours.text, 0.8), 1);
}

void PaintPictures(const Scene& scene, ImDrawList* list, const MomentLayout& layout, SmallPictures& small,
                   RowSpan row) {
  const Palette& c = scene.look.colours;
  list->PushClipRect({layout.strip.left, row.top}, {layout.strip.right, row.bottom}, true);
  for (const PictureRecord& record : layout.pictures) {
    const ImVec2 from{record.left, row.top};
    const ImVec2 to{record.right - 1, row.bottom};
    const Texture* texture = small.At(record.at);
    if (texture == nullptr) {
      list->AddRectFilled(from, to, Ink(c.raised, 0.7));
      continue;
    }
    // The middle of the picture where the slot is narrower than it is.
    const float scale = (row.bottom - row.top) / static_cast<float>(texture->height());
    const float width = static_cast<float>(texture->width()) * scale;
    const float part = std::min(1.0F, (to.x - from.x) / width);
    const float right = std::min(to.x, from.x + width);
    list->AddImage(reinterpret_cast<ImTextureID>(static_cast<std::intptr_t>(texture->id())), from,
                   {right, to.y}, {0.5F - part / 2, 0}, {0.5F + part / 2, 1});
  }
  list->PopClipRect();
}

void PaintFrames(const Scene& scene, ImDrawList* list, const MomentLayout& layout, RowSpan row,
                 FrameRef chosen) {
  const Look& look = scene.look;
  const Palette& c = look.colours;
  list->PushClipRect({layout.strip.left, row.top}, {layout.strip.right, row.bottom}, true);
  double last_second = -1;
  for (const FrameRecord& frame : layout.frames) {
    const float x = std::round(frame.left) + 0.5F;
    const double second = std::floor(scene.Seconds(frame.at) + 1e-6);
    const bool new_second = second != last_second && last_second >= 0;
    last_second = second;
    if (frame.at == chosen)
      list->AddRectFilled({frame.left, row.top}, {frame.right, row.top + look.Px(7)}, Ink(c.text));
    if (frame.damaged)
      list->AddRectFilled({frame.left, row.top + look.Px(8)}, {frame.right, row.top + look.Px(10)},
                          Ink(c.warning));
    list->AddLine({x, row.top}, {x, row.top + look.Px(new_second ? 12 : 6)},
                  Ink(new_second ? c.quiet : c.faint));
    if (new_second)
      look.script->Draw(list, look.fonts.small, {x + look.Px(4), row.top + look.Px(3)}, Ink(c.quiet),
                        ClockText(second, 0));
  }
  list->PopClipRect();
}

void PaintBoundaries(const Scene& scene, ImDrawList* list, const std::vector<BoundaryRecord>& boundaries,
                     int lane, RowSpan handles, RowSpan all, std::optional<FrameRef> in_hand) {
  const Look& look = scene.look;
  for (const BoundaryRecord& boundary : boundaries) {
    if (boundary.lane != lane) continue;
    const bool held = in_hand == boundary.at;
    const Rgb colour = held ? look.colours.focus : look.colours.text;
    const float x = std::round(boundary.x);
    list->AddRectFilled({x - 1, all.top}, {x + 1, all.bottom}, Ink(colour, held ? 1 : 0.85));
    const float r = look.Px(held ? 6 : 4.5F);
    const float y = (handles.top + handles.bottom) / 2;
    list->AddQuadFilled({x - r, y}, {x, y - r}, {x + r, y}, {x, y + r}, Ink(colour));
    list->AddQuad({x - r, y}, {x, y - r}, {x + r, y}, {x, y + r}, Ink(look.colours.sheet));
  }
}

void PaintPlayhead(const Scene& scene, ImDrawList* list, float x, RowSpan row) {
  const float at = std::round(x) + 0.5F;
  const Palette& c = scene.look.colours;
  list->AddLine({at, row.top}, {at, row.bottom}, Ink(c.sheet), scene.look.Px(4));
  list->AddLine({at, row.top}, {at, row.bottom}, Ink(c.text), std::max(1.5F, scene.look.Px(2)));
}

}  // namespace afterscope
