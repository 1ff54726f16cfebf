// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/overlay/shape.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

// Words on a frame of a clip, beside what is drawn on the eye.
struct FrameWords {
  std::string caption;   // at the bottom, on a dark ground, broken into lines
  std::string heading;   // at the top left
  std::string timer;     // at the top right, in figures of equal width
  std::string title;     // alone in the middle, large
  std::string findings;  // lines at the right, below the timer
  bool empty() const {
    return caption.empty() && heading.empty() && timer.empty() && title.empty() && findings.empty();
  }
  friend bool operator==(const FrameWords&, const FrameWords&) = default;
};

// Shapes and words on a transparent layer, as BlendOver (metrics/picture) takes it: 0xAARRGGBB, colours
// multiplied by opacity. Lines and letters grow with the frame: a point is a 540th of its height. Empty where
// there is nothing to draw, or no memory for it.
std::vector<std::uint32_t> PaintFrameLayer(int width, int height, const ShapeList& shapes,
                                           const OutFromSq& out_from_sq, const FrameWords& words);

}  // namespace afterscope
