// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/picture.hpp"
#include "metrics/picture/shown_picture.hpp"

#include <cstdint>
#include <memory>
#include <vector>

namespace afterscope {

// A picture being made: 8 bits, 4:2:0, limited range, square pixels, upright. Width and height are even.
struct YuvFrame {
  YuvFrame(int width, int height, ColorMatrix matrix);  // black

  int width = 0;
  int height = 0;
  ColorMatrix matrix = ColorMatrix::kBt709;
  std::vector<std::uint8_t> y, u, v;  // rows without padding
};

// Shares the frame's memory.
Picture AsPicture(std::shared_ptr<const YuvFrame> frame, FrameRef at);

// What part of a shown picture is seen: a rectangle in shown square pixels (shown_picture.hpp), which fills
// the frame.
struct SeenPart {
  double x = 0, y = 0, width = 0, height = 0;
};

// The whole picture within a frame of those proportions, as large as it goes.
SeenPart WholeWithin(const ShownPicture& shown, int frame_width, int frame_height);

// Draws the seen part of a picture into the frame, turned and in square pixels, black beyond the picture's
// edges; colours are brought to the frame's range and matrix. Shrinking averages, enlarging interpolates
// linearly; positions are exact to fractions of a pixel, so that a slow zoom does not shake.
void DrawPicture(const Picture& picture, const SeenPart& part, YuvFrame& frame);

// Red, green, blue and opacity, 8 bits each in one native-endian word 0xAARRGGBB, colours already multiplied
// by opacity (as Cairo keeps them); rows without padding, as large as the frame.
void BlendOver(const std::vector<std::uint32_t>& layer, YuvFrame& frame);

// 1: unchanged, 0: black.
void Fade(double brightness, YuvFrame& frame);

}  // namespace afterscope
