// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/pdf/typesetter.hpp"

#include "annotate/report/safe_text.hpp"

#include <pango/pangocairo.h>

#include <algorithm>
#include <string_view>
#include <utility>

namespace afterscope {

namespace {

constexpr double kUnit = PANGO_SCALE;

std::shared_ptr<PangoContext> MakeContext() {
  std::shared_ptr<PangoContext> context(pango_font_map_create_context(pango_cairo_font_map_get_default()),
                                        g_object_unref);
  cairo_font_options_t* exact = cairo_font_options_create();  // no hinting: measured and drawn alike
  cairo_font_options_set_hint_style(exact, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(exact, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(context.get(), exact);
  cairo_font_options_destroy(exact);
  pango_cairo_context_set_resolution(context.get(), 72);
  pango_context_set_round_glyph_positions(context.get(), FALSE);
  pango_context_set_base_dir(context.get(), PANGO_DIRECTION_WEAK_LTR);
  return context;
}

void SetFont(PangoLayout* layout, const TextStyle& style) {
  PangoFontDescription* font = pango_font_description_new();
  pango_font_description_set_family(
      font, style.face == Face::kSerif ? "Noto Serif, serif" : "Noto Sans, sans-serif");
  pango_font_description_set_weight(font, style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_style(font, style.italic ? PANGO_STYLE_ITALIC : PANGO_STYLE_NORMAL);
  pango_font_description_set_absolute_size(font, style.size_pt * kUnit);
  pango_layout_set_font_description(layout, font);
  pango_font_description_free(font);
}

void SetAttributes(PangoLayout* layout, const TextStyle& style) {
  PangoAttrList* list = pango_attr_list_new();
  pango_attr_list_insert(list, pango_attr_font_features_new("tnum, lnum"));
  if (style.spacing_pt != 0)
    pango_attr_list_insert(list, pango_attr_letter_spacing_new(static_cast<int>(style.spacing_pt * kUnit)));
  pango_layout_set_attributes(layout, list);
  pango_attr_list_unref(list);
}

PangoAlignment AlignmentOf(Align align) {
  if (align == Align::kCentre) return PANGO_ALIGN_CENTER;
  return align == Align::kEnd ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT;
}

// Where character `number` begins, at most the end.
std::size_t OffsetOf(std::string_view text, std::size_t number) {
  std::size_t at = 0;
  for (; number > 0 && at < text.size(); --number)
    at += static_cast<std::size_t>(g_utf8_skip[static_cast<unsigned char>(text[at])]);
  return std::min(at, text.size());
}

// Tops of the lines, at the face's own distance times the leading; the last entry is the bottom.
std::vector<double> LineTops(PangoLayout* layout, double leading) {
  std::vector<double> tops{0};
  for (int i = 0; i < pango_layout_get_line_count(layout); ++i) {
    PangoRectangle logical;
    pango_layout_line_get_extents(pango_layout_get_line_readonly(layout, i), nullptr, &logical);
    tops.push_back(tops.back() + logical.height / kUnit * leading);
  }
  return tops;
}

double FirstBaseline(PangoLayout* layout, double leading) {
  PangoRectangle logical;
  pango_layout_line_get_extents(pango_layout_get_line_readonly(layout, 0), nullptr, &logical);
  return (-logical.y + logical.height * (leading - 1) / 2) / kUnit;
}

std::shared_ptr<PangoLayout> MakeLayout(PangoContext* context, const TextStyle& style, double width_pt) {
  std::shared_ptr<PangoLayout> layout(pango_layout_new(context), g_object_unref);
  SetFont(layout.get(), style);
  SetAttributes(layout.get(), style);
  pango_layout_set_alignment(layout.get(), AlignmentOf(style.align));
  pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  if (width_pt > 0) pango_layout_set_width(layout.get(), static_cast<int>(width_pt * kUnit));
  return layout;
}

// What stands between two places where a line may be broken, longer than this in characters, is broken here.
constexpr std::size_t kMostRun = 300;

// A run that has no such place, with line feeds where Pango would break it: set piece by piece, since the
// time that Pango takes grows with the square of its length (30 000 letters: seconds).
std::string BrokenRun(std::string_view run, PangoLayout* layout) {
  std::string broken;
  for (;;) {
    const std::string window(run.substr(0, OffsetOf(run, kMostRun)));
    pango_layout_set_text(layout, window.c_str(), static_cast<int>(window.size()));
    const int lines = pango_layout_get_line_count(layout);
    if (window.size() == run.size() || lines < 2) return broken.append(run);
    const auto whole_lines =
        static_cast<std::size_t>(pango_layout_get_line_readonly(layout, lines - 1)->start_index);
    broken.append(run.substr(0, whole_lines)) += '\n';
    run.remove_prefix(whole_lines);
  }
}

// `text` is UTF-8.
std::string WithBrokenRuns(const std::string& text, PangoLayout* layout) {
  const auto characters = static_cast<std::size_t>(g_utf8_strlen(text.c_str(), -1));
  if (characters <= kMostRun) return text;
  std::vector<PangoLogAttr> places(characters + 1);
  pango_get_log_attrs(text.c_str(), static_cast<int>(text.size()), -1, pango_language_get_default(),
                      places.data(), static_cast<int>(places.size()));
  std::string result;
  std::string_view rest = text;
  for (std::size_t i = 1, first = 0; i <= characters; ++i) {
    if (i < characters && !places[i].is_line_break) continue;
    const std::string_view run = rest.substr(0, OffsetOf(rest, i - first));
    result += i - first > kMostRun ? BrokenRun(run, layout) : std::string(run);
    rest.remove_prefix(run.size());
    first = i;
  }
  return result;
}

}  // namespace

void TextBlock::Draw(cairo_t* cairo, double x, double y, std::size_t first, std::size_t last) const {
  if (!layout_) return;
  cairo_set_source_rgb(cairo, color_.r / 255.0, color_.g / 255.0, color_.b / 255.0);
  PangoLayoutIter* at = pango_layout_get_iter(layout_.get());
  for (std::size_t i = 0; i < std::min(last, lines()); ++i) {
    if (i >= first) {
      PangoRectangle logical;
      pango_layout_iter_get_line_extents(at, nullptr, &logical);
      PangoRectangle own;  // relative to its baseline
      pango_layout_line_get_extents(pango_layout_iter_get_line_readonly(at), nullptr, &own);
      const double extra = (line_tops_[i + 1] - line_tops_[i] - own.height / kUnit) / 2;
      cairo_move_to(cairo, x + logical.x / kUnit,
                    y + line_tops_[i] - line_tops_[first] + extra - own.y / kUnit);
      pango_cairo_show_layout_line(cairo, pango_layout_iter_get_line_readonly(at));
    }
    if (!pango_layout_iter_next_line(at)) break;
  }
  pango_layout_iter_free(at);
}

Typesetter::Typesetter(std::string shortened_note)
    : context_(MakeContext()), shortened_note_(std::move(shortened_note)) {}

TextBlock Typesetter::Set(const std::string& text, const TextStyle& style, double width_pt) {
  std::string safe = Shortened(SafeText(text), kMostCharacters, shortened_note_);
  TextBlock block;
  block.layout_ = MakeLayout(context_.get(), style, width_pt);
  PangoLayout* layout = block.layout_.get();
  if (width_pt > 0) safe = WithBrokenRuns(safe, layout);
  pango_layout_set_text(layout, safe.c_str(), static_cast<int>(safe.size()));
  missing_glyphs_ += pango_layout_get_unknown_glyphs_count(layout);
  PangoRectangle logical;
  pango_layout_get_extents(layout, nullptr, &logical);
  block.color_ = style.color;
  block.width_ = logical.width / kUnit;
  block.line_tops_ = LineTops(layout, style.leading);
  block.height_ = block.line_tops_.back();
  block.baseline_ = FirstBaseline(layout, style.leading);
  return block;
}

}  // namespace afterscope
