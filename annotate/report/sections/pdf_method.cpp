// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/frame_text.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

#include <fmt/format.h>

namespace afterscope {

namespace {

constexpr double kNameWidth = 118;

void Line(PdfBook& book, const std::string& name, const std::string& text, const std::string& small,
          const std::string& place = {}) {
  const double width = book.pages.width() - kNameWidth;
  const TextBlock label = book.Set(name, styles::kSmall, kNameWidth - 10);
  if (text.empty()) {
    book.pages.Row({{0, label, {}}, {kNameWidth, book.Set(small, styles::kSmall, width), place}});
    return (void)book.pages.Take(2);
  }
  book.pages.Row({{0, label, {}}, {kNameWidth, book.Set(text, styles::kBody, width), {}}});
  if (!small.empty()) book.pages.Row({{kNameWidth, book.Set(small, styles::kTiny, width), place}});
  book.pages.Take(3);
}

}  // namespace

void SetMethod(PdfBook& book) {
  SectionHeading(book, "method", 60);
  for (std::size_t i = 0; i < book.model.scales.size(); ++i) {
    const ReportScale& scale = book.model.scales[i];
    Line(book, fmt::format("{} {}", book.Text("method.scale"), i + 1), scale.description,
         FrameText(book.model, scale.frame), PlaceOf(scale.frame.ref));
  }
  for (std::size_t i = 0; i < book.model.recordings.size(); ++i) {
    const ReportRecording& recording = book.model.recordings[i];
    const std::string name = fmt::format("{} {}", book.Text("method.recordings"), i + 1);
    Line(book, name, recording.description, recording.fingerprint);
  }
  for (const auto& [name, how] : book.model.method) {
    const bool of_finding = book.model.words.findings.contains(name);
    Line(book, book.model.words.LabelOf(name), of_finding ? "" : how, of_finding ? how : "");
  }
}

void SetCautions(PdfBook& book) {
  SectionHeading(book, "cautions", 60);
  for (const std::string& caution : book.model.cautions) {
    book.pages.Paragraph(caution, styles::kBody);
    book.pages.Take(2);
  }
}

}  // namespace afterscope
