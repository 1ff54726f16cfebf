// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/shape_painter.hpp"

#include "annotate/overlay/theme.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace afterscope {
namespace {

constexpr float kPxPerPt = 4.0F / 3;

// On and off lengths in widths of the line, as the Cairo painter has them (a dot is drawn one width long).
std::vector<float> DashesOf(LineStyle style) {
  switch (style) {
    case LineStyle::kSolid:
      return {};
    case LineStyle::kDashed:
      return {4, 2.5F};
    case LineStyle::kDotted:
      return {1, 2};
    case LineStyle::kDashDot:
      return {5, 2.2F, 1, 2.2F};
  }
  return {};
}

class Painter {
 public:
  Painter(const Look& look, ImDrawList* list, const OutFromSq& screen_from_sq)
      : look_(look), list_(list), screen_from_sq_(screen_from_sq), px_per_pt_(look.unit * kPxPerPt) {}

  void operator()(const PolylineShape& line) const {
    std::vector<ImVec2> points;
    points.reserve(line.points.size());
    for (const PointSq p : line.points) points.push_back(Screen(p));
    if (points.empty() || !std::all_of(points.begin(), points.end(), Finite)) return;
    if (!line.closed) DropClose(points);
    const Rgb colour = ColorOf(line.role);
    if (line.filled) list_->AddConvexPolyFilled(points.data(), static_cast<int>(points.size()), Ink(colour));
    if (line.closed) points.push_back(points.front());
    const float width = std::max(1.0F, static_cast<float>(line.width_pt) * px_per_pt_);
    const float casing = width + static_cast<float>(kCasingExtraPt) * px_per_pt_;
    if (line.style == LineStyle::kSolid) {
      list_->AddPolyline(points.data(), static_cast<int>(points.size()), Ink(kCasing, kCasingOpacity), 0,
                         casing);
      list_->AddPolyline(points.data(), static_cast<int>(points.size()), Ink(colour), 0, width);
      return;
    }
    Dashes(points, DashesOf(line.style), width, casing, Ink(kCasing, kCasingOpacity));
    Dashes(points, DashesOf(line.style), width, width, Ink(colour));
  }

  void operator()(const AreaShape& area) const {
    std::vector<std::vector<ImVec2>> outlines;
    for (const std::vector<PointSq>& outline : area.outlines) {
      std::vector<ImVec2>& points = outlines.emplace_back();
      for (const PointSq p : outline) points.push_back(Screen(p));
      if (points.size() < 3 || !std::all_of(points.begin(), points.end(), Finite)) outlines.pop_back();
    }
    Tint(outlines, Ink(ColorOf(area.role), area.opacity));
    const float width = std::max(1.0F, static_cast<float>(area.width_pt) * px_per_pt_);
    for (std::vector<ImVec2>& points : outlines) {
      DropClose(points);
      points.push_back(points.front());
      list_->AddPolyline(points.data(), static_cast<int>(points.size()), Ink(ColorOf(area.role)), 0, width);
    }
  }

  void operator()(const DotShape& dot) const {
    const ImVec2 at = Screen(dot.at);
    if (!Finite(at)) return;
    const float radius = static_cast<float>(dot.radius_pt) * px_per_pt_;
    list_->AddCircleFilled(at, radius + static_cast<float>(kCasingExtraPt) / 2 * px_per_pt_,
                           Ink(kCasing, kCasingOpacity));
    list_->AddCircleFilled(at, radius, Ink(ColorOf(dot.role)));
  }

  void operator()(const TextShape& text) const {
    const ImVec2 at = Screen(text.at);
    if (!Finite(at) || text.text.empty()) return;
    const ImFont* font = look_.fonts.small;
    const ImVec2 size = look_.script->Size(font, text.text);
    const ImVec2 from{std::round(at.x - static_cast<float>(text.anchor_x) * size.x),
                      std::round(at.y - static_cast<float>(text.anchor_y) * size.y)};
    for (const ImVec2 d : {ImVec2{-1, 0}, ImVec2{1, 0}, ImVec2{0, -1}, ImVec2{0, 1}})
      look_.script->Draw(list_, font, {from.x + d.x, from.y + d.y}, Ink(kCasing, kCasingOpacity + 0.2),
                         text.text);
    look_.script->Draw(list_, font, from, Ink(ColorOf(text.role)), text.text);
  }

 private:
  static bool Finite(ImVec2 p) { return std::isfinite(p.x) && std::isfinite(p.y); }

  ImVec2 Screen(PointSq p) const {
    return {static_cast<float>(screen_from_sq_.X(p)), static_cast<float>(screen_from_sq_.Y(p))};
  }

  // A tip that stands still leaves many points in one place: they are drawn as one.
  static void DropClose(std::vector<ImVec2>& points) {
    constexpr float kApart = 1.5F;
    std::size_t kept = 1;
    for (std::size_t i = 1; i < points.size(); ++i)
      if (i + 1 == points.size() ||
          std::hypot(points[i].x - points[kept - 1].x, points[i].y - points[kept - 1].y) >= kApart)
        points[kept++] = points[i];
    points.resize(std::min(kept, points.size()));
  }

  // Row by row of the screen, between every other crossing of the outlines.
  void Tint(const std::vector<std::vector<ImVec2>>& outlines, ImU32 colour) const {
    float top = list_->GetClipRectMax().y, bottom = list_->GetClipRectMin().y;
    for (const std::vector<ImVec2>& points : outlines)
      for (const ImVec2 p : points) top = std::min(top, p.y), bottom = std::max(bottom, p.y);
    top = std::max(top, list_->GetClipRectMin().y);
    bottom = std::min(bottom, list_->GetClipRectMax().y);
    for (float y = std::floor(top) + 0.5F; y < bottom; ++y) {
      std::vector<float> crossings;
      for (const std::vector<ImVec2>& points : outlines)
        for (std::size_t i = 0; i < points.size(); ++i) {
          const ImVec2 a = points[i], b = points[(i + 1) % points.size()];
          if ((a.y <= y) != (b.y <= y)) crossings.push_back(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
        }
      std::sort(crossings.begin(), crossings.end());
      for (std::size_t i = 0; i + 1 < crossings.size(); i += 2)
        list_->AddRectFilled({crossings[i], y - 0.5F}, {crossings[i + 1], y + 0.5F}, colour);
    }
  }

  // In pieces between sharp corners, where one line would grow spikes.
  void Line(const std::vector<ImVec2>& points, ImU32 colour, float width) const {
    std::size_t from = 0;
    for (std::size_t i = 1; i < points.size(); ++i) {
      if (i + 1 < points.size() && !IsSharp(points[i - 1], points[i], points[i + 1])) continue;
      list_->AddPolyline(&points[from], static_cast<int>(i - from + 1), colour, 0, width);
      from = i;
    }
  }

  static bool IsSharp(ImVec2 a, ImVec2 b, ImVec2 c) {
    const float ux = b.x - a.x;
    const float uy = b.y - a.y;
    const float vx = c.x - b.x;
    const float vy = c.y - b.y;
    constexpr float kCosine = 0.7F;  // 45 degrees
    return ux * vx + uy * vy < kCosine * std::hypot(ux, uy) * std::hypot(vx, vy);
  }

  // Walks along the line and draws the parts that are on.
  void Dashes(const std::vector<ImVec2>& points, const std::vector<float>& dashes, float unit, float width,
              ImU32 colour) const {
    std::size_t dash = 0;
    float left = dashes[0] * unit;
    std::vector<ImVec2> part{points.front()};
    const auto flush = [&] {
      if (dash % 2 == 0 && part.size() > 1)
        list_->AddPolyline(part.data(), static_cast<int>(part.size()), colour, 0, width);
    };
    for (std::size_t i = 1; i < points.size(); ++i) {
      ImVec2 from = points[i - 1];
      float length = std::hypot(points[i].x - from.x, points[i].y - from.y);
      while (length > left) {
        const float t = left / length;
        from = {from.x + (points[i].x - from.x) * t, from.y + (points[i].y - from.y) * t};
        part.push_back(from);
        flush();
        length -= left;
        dash = (dash + 1) % dashes.size();
        left = dashes[dash] * unit;
        part = {from};
      }
      left -= length;
      part.push_back(points[i]);
    }
    flush();
  }

  const Look& look_;
  ImDrawList* list_;
  const OutFromSq& screen_from_sq_;
  float px_per_pt_;
};

}  // namespace

void PaintShapes(const Look& look, ImDrawList* list, const ShapeList& shapes,
                 const OutFromSq& screen_from_sq) {
  const Painter painter(look, list, screen_from_sq);
  for (const Shape& shape : shapes) std::visit(painter, shape);
}

}  // namespace afterscope
