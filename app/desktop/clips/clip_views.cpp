// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/clips/clip_views.hpp"

#include "annotate/jobs/clip/clip_frames.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr double kMostZoom = 16;

// The middle of what is seen, so that nothing beyond the picture would be.
double Centre(double wanted, double zoom) { return std::clamp(wanted, 0.5 / zoom, 1 - 0.5 / zoom); }

}  // namespace

ViewEnd NextViewEnd(ViewEnd end) {
  return end == ViewEnd::kBoth        ? ViewEnd::kBeginning
         : end == ViewEnd::kBeginning ? ViewEnd::kEnd
                                      : ViewEnd::kBoth;
}

std::string ViewEndWords(ViewEnd end) {
  switch (end) {
    case ViewEnd::kBoth:
      return "View of the whole part";
    case ViewEnd::kBeginning:
      return "View at its beginning";
    case ViewEnd::kEnd:
      return "View at its end";
  }
  return {};
}

ClipView ZoomedView(const ClipView& view, double factor, double about_x, double about_y) {
  const double zoom = std::clamp(view.zoom * factor, 1.0, kMostZoom);
  const double kept = view.zoom / zoom;  // of the way from the place to the middle
  return {Centre(about_x + (view.x - about_x) * kept, zoom),
          Centre(about_y + (view.y - about_y) * kept, zoom), zoom};
}

ClipView MovedView(const ClipView& view, double x, double y) {
  return {Centre(view.x + x / view.zoom, view.zoom), Centre(view.y + y / view.zoom, view.zoom), view.zoom};
}

void SetView(ClipPart& part, ViewEnd end, const ClipView& view) {
  if (end != ViewEnd::kEnd) part.view = view;
  if (end != ViewEnd::kBeginning) part.view_at_end = view;
}

const ClipView& ViewOf(const ClipPart& part, ViewEnd end) {
  return end == ViewEnd::kEnd ? part.view_at_end : part.view;
}

std::optional<PictureShare> ShareAt(float x, float y, const ScreenRect& frame, const ClipView& view,
                                    const ShownPicture& shown, int width, int height) {
  if (frame.Width() <= 0 || frame.Height() <= 0 || shown.Width() <= 0) return std::nullopt;
  const SeenPart seen = SeenOf(view, shown, width, height);
  const double across = (x - frame.left) / frame.Width(), down = (y - frame.top) / frame.Height();
  const PictureShare share{(seen.x + across * seen.width) / shown.Width(),
                           (seen.y + down * seen.height) / shown.Height()};
  const bool inside = share.x >= 0 && share.x <= 1 && share.y >= 0 && share.y <= 1;
  return inside ? std::optional(share) : std::nullopt;
}

ScreenRect FrameWithin(const ScreenRect& area, int width, int height) {
  const float scale =
      std::min(area.Width() / static_cast<float>(width), area.Height() / static_cast<float>(height));
  const float w = scale * static_cast<float>(width), h = scale * static_cast<float>(height);
  const float left = area.left + (area.Width() - w) / 2, top = area.top + (area.Height() - h) / 2;
  return {left, top, left + w, top + h};
}

}  // namespace afterscope
