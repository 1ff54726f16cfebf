// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/picture_block.hpp"

#include "annotate/report/frame_text.hpp"
#include "annotate/report/picture_painter.hpp"

#include <cairo.h>

#include <algorithm>

namespace afterscope {

namespace {

constexpr double kAir = 3;

std::string WordsUnder(const PdfBook& book, const ReportPicture& picture) {
  std::string words = picture.caption;
  const auto add = [&](const std::string& more) { words += (words.empty() ? "" : "\n") + more; };
  if (picture.damaged) add(book.Text("picture.damaged"));
  add(FrameText(book.model, picture.frame));
  return words;
}

}  // namespace

PictureBlock MakePictureBlock(PdfBook& book, const ReportPicture& picture, double width, double most_height) {
  const TextBlock words = book.Set(WordsUnder(book, picture), styles::kTiny, width);
  if (picture.image.empty()) {
    const TextBlock missing = book.Set(picture.missing, styles::kSmall, width);
    return {width, missing.height() + kAir + words.height(), [=](cairo_t* cairo, double x, double y) {
              missing.Draw(cairo, x, y);
              words.Draw(cairo, x, y + missing.height() + kAir);
            }};
  }
  const double proportion = ProportionOf(picture);
  const double shown_width = std::min(width, most_height / proportion);
  const double shown_height = shown_width * proportion;
  return {width, shown_height + kAir + words.height(), [=, &picture](cairo_t* cairo, double x, double y) {
            PaintPicture(cairo, picture, {x, y, shown_width, shown_height}, 1);
            words.Draw(cairo, x, y + shown_height + kAir);
          }};
}

}  // namespace afterscope
