// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/overlay/theme.hpp"

#include <memory>
#include <string>
#include <vector>

typedef struct _cairo cairo_t;
typedef struct _PangoContext PangoContext;
typedef struct _PangoLayout PangoLayout;

namespace afterscope {

// What people wrote stands in the serif face, what the program says in the other.
enum class Face { kSans, kSerif };
enum class Align { kStart, kCentre, kEnd };

// Ink of the page.
inline constexpr Rgb kInk{29, 33, 37};
inline constexpr Rgb kSoftInk{98, 105, 112};
inline constexpr Rgb kHairline{208, 213, 217};

struct TextStyle {
  double size_pt = 9;
  Face face = Face::kSans;
  bool bold = false;
  bool italic = false;
  Rgb color = kInk;
  double leading = 1.0;  // line distance as a multiple of the face's own
  Align align = Align::kStart;
  double spacing_pt = 0;  // between letters
};

// Text set to a width, measured and ready to be drawn. Copies share the setting.
class TextBlock {
 public:
  TextBlock() = default;
  double width() const { return width_; }  // of the widest line
  double height() const { return height_; }
  double baseline() const { return baseline_; }  // of the first line, from the top
  std::size_t lines() const { return line_tops_.empty() ? 0 : line_tops_.size() - 1; }
  double LineTop(std::size_t i) const { return line_tops_[i]; }  // i up to lines(): the bottom of the last
  // Draws lines [first, last) with the top of line `first` at y.
  void Draw(cairo_t* cairo, double x, double y, std::size_t first, std::size_t last) const;
  void Draw(cairo_t* cairo, double x, double y) const { Draw(cairo, x, y, 0, lines()); }

 private:
  friend class Typesetter;
  std::shared_ptr<PangoLayout> layout_;
  Rgb color_;
  double width_ = 0;
  double height_ = 0;
  double baseline_ = 0;
  std::vector<double> line_tops_;
};

// Sets text in any script, with figures of equal width. Text is made safe first (see SafeText) and, beyond
// kMostCharacters, shortened, which is said at its end.
class Typesetter {
 public:
  static constexpr std::size_t kMostCharacters = 30000;
  explicit Typesetter(std::string shortened_note = "…");
  // width_pt <= 0: never broken but at line feeds.
  TextBlock Set(const std::string& text, const TextStyle& style, double width_pt = 0);
  // How many characters so far had no glyph in any font of this machine.
  int missing_glyphs() const { return missing_glyphs_; }

 private:
  std::shared_ptr<PangoContext> context_;
  std::string shortened_note_;
  int missing_glyphs_ = 0;
};

}  // namespace afterscope
