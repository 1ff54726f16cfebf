// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace afterscope {

// A piece of text as coverage (0: nothing, 255: full), rows from top to bottom without padding; to be tinted
// by whoever paints it.
struct TextBitmap {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> coverage;
};

struct TextBitmapOptions {
  double size_px = 16;       // of the font
  double most_width_px = 0;  // breaks lines there; 0: one line
  bool bold = false;
  std::string family = "Noto Sans, DejaVu Sans";
};

// Sets UTF-8 text of any script (through Pango: shaping, joining, right to left). Malformed bytes are shown
// as U+FFFD. Empty for an empty text; a bitmap is never larger than 4096 by 4096 pixels, what goes beyond is
// cut.
TextBitmap RenderText(const std::string& text, const TextBitmapOptions& options);

}  // namespace afterscope
