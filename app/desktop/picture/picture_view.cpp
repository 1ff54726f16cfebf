// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/picture/picture_view.hpp"

#include <algorithm>

namespace afterscope {
namespace {

constexpr double kNearestScale = 64;

double FittedScale(const ShownPicture& shown, const ScreenRect& area) {
  if (shown.Width() <= 0 || shown.Height() <= 0) return 1;
  return std::max(1e-6, std::min(area.Width() / shown.Width(), area.Height() / shown.Height()));
}

}  // namespace

ScreenFromShown PictureView::Placed(const ShownPicture& shown, const ScreenRect& area) const {
  const double scale = FittedScale(shown, area) * zoom_;
  const double mx = fitted() ? 0.5 : middle_x_;
  const double my = fitted() ? 0.5 : middle_y_;
  return {scale, (area.left + area.right) / 2 - mx * shown.Width() * scale,
          (area.top + area.bottom) / 2 - my * shown.Height() * scale};
}

void PictureView::ZoomAt(double factor, float x, float y, const ShownPicture& shown, const ScreenRect& area) {
  if (shown.Width() <= 0 || shown.Height() <= 0) return;
  const auto under = Placed(shown, area).ShownAt(x, y);
  const double fitted_scale = FittedScale(shown, area);
  zoom_ = std::clamp(zoom_ * factor, 1.0, std::max(1.0, kNearestScale / fitted_scale));
  const double scale = fitted_scale * zoom_;
  // The middle such that `under` comes to lie at (x, y) again.
  middle_x_ = (under.x - (x - (area.left + area.right) / 2) / scale) / shown.Width();
  middle_y_ = (under.y - (y - (area.top + area.bottom) / 2) / scale) / shown.Height();
  Pan(0, 0, shown, area);
}

void PictureView::Pan(float dx, float dy, const ShownPicture& shown, const ScreenRect& area) {
  if (shown.Width() <= 0 || shown.Height() <= 0) return;
  const double scale = FittedScale(shown, area) * zoom_;
  middle_x_ = std::clamp(middle_x_ - dx / (scale * shown.Width()), 0.0, 1.0);
  middle_y_ = std::clamp(middle_y_ - dy / (scale * shown.Height()), 0.0, 1.0);
}

bool DoPan(PictureView& view, const std::string& action, const ShownPicture& shown, const ScreenRect& area) {
  const float across = area.Width() / 10;
  const float along = area.Height() / 10;
  // The view goes that way, the picture the other.
  if (action == "picture left")
    view.Pan(across, 0, shown, area);
  else if (action == "picture right")
    view.Pan(-across, 0, shown, area);
  else if (action == "picture up")
    view.Pan(0, along, shown, area);
  else if (action == "picture down")
    view.Pan(0, -along, shown, area);
  else
    return false;
  return true;
}

}  // namespace afterscope
