// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/pdf/pages.hpp"
#include "annotate/report/report_model.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What the sections of the PDF are set with.

struct PdfBook {
  const ReportModel& model;
  Pages& pages;
  const std::string& Text(const std::string& key) const { return model.words.Text(key); }
  TextBlock Set(const std::string& text, const TextStyle& style, double width = 0) const {
    return pages.typesetter().Set(text, style, width);
  }
};

namespace styles {
inline constexpr TextStyle kTitle{.size_pt = 22, .bold = true, .leading = 0.9};
inline constexpr TextStyle kOverline{.size_pt = 8, .color = kSoftInk, .spacing_pt = 0.4};
inline constexpr TextStyle kHeading{.size_pt = 12.5, .bold = true};
inline constexpr TextStyle kSubheading{.size_pt = 9.5, .bold = true};
inline constexpr TextStyle kBody{.size_pt = 9};
inline constexpr TextStyle kStrong{.size_pt = 9, .bold = true};
inline constexpr TextStyle kLabel{.size_pt = 7.5, .color = kSoftInk};
inline constexpr TextStyle kSmall{.size_pt = 7.5, .color = kSoftInk};
inline constexpr TextStyle kTiny{.size_pt = 6.5, .color = kSoftInk};
inline constexpr TextStyle kVoice{.size_pt = 10.5, .face = Face::kSerif};  // what people wrote
inline constexpr TextStyle kVoiceSmall{.size_pt = 9, .face = Face::kSerif};
}  // namespace styles

void SetColor(cairo_t* cairo, Rgb color);

// A heading that keeps at least `with` points of what follows on its page, with a bookmark.
void SectionHeading(PdfBook& book, const std::string& key, double with = 90);
// A smaller one inside a section.
void Subheading(PdfBook& book, const std::string& text, double with = 40);

// Findings as rows of label, value, limits and frames, from `x` on over `width`.
void FindingTable(PdfBook& book, const std::vector<ReportFinding>& findings, bool with_notes);

// Something drawn whole: `height` is taken, `draw` gets the top left corner.
void Figure(PdfBook& book, double height, const std::function<void(cairo_t*, double x, double y)>& draw);

}  // namespace afterscope
