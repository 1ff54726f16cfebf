// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/chart/chart_paint.hpp"
#include "annotate/report/document/sheet_document.hpp"
#include "annotate/report/pdf/emit_pdf.hpp"
#include "annotate/report/pdf/furniture.hpp"
#include "annotate/report/pdf/page_image.hpp"
#include "annotate/report/picture_painter.hpp"
#include "annotate/report/safe_text.hpp"

#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <functional>

namespace afterscope {
namespace {

constexpr double kGap = 4;
constexpr double kMostPictureHeight = 190;
constexpr double kPictureWidth = 250;

const TextStyle& StyleOf(Voice voice) {
  switch (voice) {
    case Voice::kPlain:
      return styles::kBody;
    case Voice::kSmall:
      return styles::kSmall;
    case Voice::kStrong:
      return styles::kSubheading;
    case Voice::kQuoted:
      return styles::kVoiceSmall;
  }
  return styles::kBody;
}

// Sets one block after another on the pages.
struct BlockSetter {
  Pages& pages;

  Typesetter& typesetter() const { return pages.typesetter(); }

  void operator()(const DocumentText& text) const {
    pages.Paragraph(text.text, StyleOf(text.voice));
    pages.Take(text.voice == Voice::kStrong ? 1 : 2);
  }

  void Row(const DocumentTable& table, const std::vector<std::string>& cells, const TextStyle& style) const {
    std::vector<Cell> row;
    double x = 0;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const double width = table.shares[i] * pages.width();
      const TextBlock block = typesetter().Set(cells[i], style, width - kGap);
      const bool figure = i >= table.figures_from && block.lines() == 1;
      row.push_back({figure ? x + width - kGap - block.width() : x, block, {}});
      x += width;
    }
    pages.Row(row);
  }

  void operator()(const DocumentTable& table) const {
    const auto heads = [&pages = pages, &table, this] {
      Row(table, table.heads, styles::kTiny);
      pages.Take(2);
      pages.Rule();
      pages.Take(3);
    };
    pages.Need(50);
    heads();
    pages.RunningHead(heads);
    for (const std::vector<std::string>& cells : table.rows) {
      Row(table, cells, styles::kBody);
      pages.Take(1.5);
    }
    pages.RunningHead({});
    pages.Take(5);
  }

  void operator()(const Chart& chart) const {
    const double y = pages.Take(chart.height + 4);
    pages.Put([&setter = typesetter(), &chart, x = pages.left(), y](cairo_t* cairo) {
      PaintChart(cairo, setter, chart, x, y);
    });
  }

  void operator()(const ReportPicture& picture) const {
    if (picture.image.empty()) return pages.Paragraph(picture.missing, styles::kSmall);
    const double width = std::min(kPictureWidth, kMostPictureHeight / ProportionOf(picture));
    const double height = width * ProportionOf(picture);
    const TextBlock caption = typesetter().Set(picture.caption, styles::kTiny, kPictureWidth);
    const double y = pages.Take(height + caption.height() + 8);
    pages.Put([=, &picture, x = pages.left()](cairo_t* cairo) {
      PaintPicture(cairo, picture, {x, y, width, height}, 1);
      caption.Draw(cairo, x, y + height + 2);
    });
  }
};

void SetTop(Pages& pages, const SheetDocument& document) {
  pages.Paragraph(document.title, styles::kTitle);
  pages.Paragraph(document.subtitle, styles::kOverline);
  pages.Take(8);
  for (const auto& [what, which] : document.facts)
    pages.Row({{0, pages.typesetter().Set(what, styles::kLabel, 110), {}},
               {120, pages.typesetter().Set(which, styles::kBody, pages.width() - 120), {}}});
}

// What has to stand together from a block on: a bold line with the words below it and the picture or chart
// that they are about.
double HeightTogether(Pages& pages, const DocumentSection& section, std::size_t from) {
  double height = 0;
  for (std::size_t i = from; i < section.blocks.size(); ++i) {
    if (const auto* text = std::get_if<DocumentText>(&section.blocks[i])) {
      if (i > from && text->voice == Voice::kStrong) break;
      height += pages.typesetter().Set(text->text, StyleOf(text->voice), pages.width()).height() + 3;
    } else if (const auto* chart = std::get_if<Chart>(&section.blocks[i])) {
      return height + chart->height + 4;
    } else if (std::holds_alternative<ReportPicture>(section.blocks[i])) {
      return height + kMostPictureHeight + 20;
    } else {
      return height + 50;  // the head of a table and some rows
    }
  }
  return height;
}

void SetSection(Pages& pages, const DocumentSection& section, std::size_t number) {
  pages.Skip(16);
  pages.Need(std::max(120.0, 40 + HeightTogether(pages, section, 0)));
  const std::string place = fmt::format("section-{}", number);
  pages.Destination(place);
  pages.Bookmark(section.heading, place);
  pages.Rule(0.75);
  pages.Take(7);
  pages.Paragraph(section.heading, styles::kHeading);
  pages.Take(4);
  for (std::size_t i = 0; i < section.blocks.size(); ++i) {
    const auto* text = std::get_if<DocumentText>(&section.blocks[i]);
    if (text && text->voice == Voice::kStrong) {
      pages.Skip(6);
      pages.Need(HeightTogether(pages, section, i));
    }
    std::visit(BlockSetter{pages}, section.blocks[i]);
  }
}

void DrawFooter(cairo_t* cairo, Pages& pages, const SheetDocument& document, int page, int count) {
  const PageSetup& setup = pages.setup();
  const double y = setup.height - setup.bottom + 20;
  const TextBlock number = pages.typesetter().Set(fmt::format("Page {} of {}", page, count), styles::kTiny);
  number.Draw(cairo, setup.width - setup.side - number.width(), y);
  pages.typesetter().Set(document.footer, styles::kTiny).Draw(cairo, setup.side, y);
}

// The document set on its pages, to be drawn.
class SetDocument {
 public:
  SetDocument(const SheetDocument& document, const SheetFileOptions& options)
      : document_(document), pages_(PageSetupFor(options.paper), typesetter_) {
    SetTop(pages_, document);
    for (std::size_t i = 0; i < document.sections.size(); ++i) SetSection(pages_, document.sections[i], i);
  }
  SetDocument(const SetDocument&) = delete;
  SetDocument& operator=(const SetDocument&) = delete;

  const Pages& pages() const { return pages_; }
  std::function<void(cairo_t*, int, int)> Footer() {
    return [this](cairo_t* on, int page, int count) { DrawFooter(on, pages_, document_, page, count); };
  }

 private:
  const SheetDocument& document_;
  Typesetter typesetter_;
  Pages pages_;
};

}  // namespace

Result<std::string> PdfFromDocument(const SheetDocument& document, const SheetFileOptions& options) {
  SetDocument set(document, options);
  return EmitPdf(set.pages(), SafeText(document.title), options.made_at, set.Footer());
}

Result<ReportPage> MakeDocumentPage(const SheetDocument& document, const SheetFileOptions& options, int page,
                                    double pixels_per_point) {
  SetDocument set(document, options);
  return PageImage(set.pages(), page, pixels_per_point, set.Footer());
}

}  // namespace afterscope
