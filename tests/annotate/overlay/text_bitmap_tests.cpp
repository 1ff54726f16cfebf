// SPDX-License-Identifier: Apache-2.0
#include "annotate/overlay/text_bitmap.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

namespace afterscope {
namespace {

bool HasInk(const TextBitmap& bitmap) {
  return std::any_of(bitmap.coverage.begin(), bitmap.coverage.end(), [](auto c) { return c > 200; });
}

}  // namespace

TEST_CASE("Text of every script leaves ink", "[text]") {
  for (const char* text : {"Rhexis", "Kapselöffnung", "ক্যাপসুল", "कैप्सूल", "المحفظة"}) {
    INFO(text);
    CHECK(HasInk(RenderText(text, {})));
  }
}

// A conjunct is narrower than its letters side by side (Unicode 15, chapter 12.2: ka + virama + ssa is one
// form), and joined Arabic differs from separate letters: shaping has taken place.
TEST_CASE("Scripts are shaped, not spelled", "[text]") {
  const auto width = [](const char* text) { return RenderText(text, {}).width; };
  CHECK(width("\u0995\u09CD\u09B7") < width("\u0995\u200C\u09CD\u200C\u09B7"));
  CHECK(width("\u0644\u0627") != width("\u0644\u200C\u0627"));
}

TEST_CASE("Long text breaks at the width, and stays within the largest bitmap", "[text]") {
  TextBitmapOptions options;
  const std::string words(400, 'm');
  CHECK(RenderText(words, options).width == 4096);
  options.most_width_px = 200;
  const TextBitmap broken = RenderText(words, options);
  CHECK(broken.width <= 200);
  CHECK(broken.height > 5 * RenderText("m", {}).height);
}

TEST_CASE("Empty and malformed text do no harm", "[text]") {
  CHECK(RenderText("", {}).coverage.empty());
  CHECK(RenderText("\xff\xfe\xc3", {}).width > 0);
}

}  // namespace afterscope
