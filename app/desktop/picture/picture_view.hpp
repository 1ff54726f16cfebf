// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/picture/shown_picture.hpp"

namespace afterscope {

struct ScreenRect {
  float left = 0, top = 0, right = 0, bottom = 0;
  float Width() const { return right - left; }
  float Height() const { return bottom - top; }
  bool Contains(float x, float y) const { return x >= left && x < right && y >= top && y < bottom; }
};

// Where the shown picture lies on the screen: screen = scale * shown + (x0, y0).
struct ScreenFromShown {
  double scale = 1;
  double x0 = 0;
  double y0 = 0;
  double X(ShownPicture::Spot s) const { return scale * s.x + x0; }
  double Y(ShownPicture::Spot s) const { return scale * s.y + y0; }
  // The same from square pixels of the recording.
  OutFromSq OfSq(const ShownPicture& shown) const {
    return PlacePicture(shown, {x0, y0, scale * shown.Width(), scale * shown.Height()});
  }
  ShownPicture::Spot ShownAt(double x, double y) const { return {(x - x0) / scale, (y - y0) / scale}; }
};

// How the user looks at the picture; pure. Fitted (whole, in the middle of its area) until it is zoomed.
class PictureView {
 public:
  void Fit() { zoom_ = 1; }
  bool fitted() const { return zoom_ == 1; }
  // factor > 1 comes nearer; what lies under the pointer stays there. Not farther than the whole picture, not
  // nearer than 64 screen pixels for one of the picture.
  void ZoomAt(double factor, float x, float y, const ShownPicture& shown, const ScreenRect& area);
  // Moves the picture by so many screen pixels; something of it always stays in sight.
  void Pan(float dx, float dy, const ShownPicture& shown, const ScreenRect& area);
  ScreenFromShown Placed(const ShownPicture& shown, const ScreenRect& area) const;

 private:
  double zoom_ = 1;        // against fitted
  double middle_x_ = 0.5;  // which part of the shown picture is in the middle of the area, 0 to 1
  double middle_y_ = 0.5;
};

// "picture left", "picture right", "picture up", "picture down": a tenth of the area in that direction; false
// for any other action.
bool DoPan(PictureView& view, const std::string& action, const ShownPicture& shown, const ScreenRect& area);

}  // namespace afterscope
