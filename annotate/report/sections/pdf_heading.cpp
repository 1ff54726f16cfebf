// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/format.hpp"
#include "annotate/report/sections/facts.hpp"
#include "annotate/report/sections/pdf_sections.hpp"

namespace afterscope {

namespace {

constexpr int kFactColumns = 3;
constexpr double kBetweenFacts = 16;
constexpr std::size_t kLongCode = 36;  // bytes; a longer one is set smaller

// Facts in columns, each a small label over its value; a row is as high as its highest fact.
void SetFacts(PdfBook& book, const std::vector<Fact>& facts) {
  const double column = (book.pages.width() - (kFactColumns - 1) * kBetweenFacts) / kFactColumns;
  for (std::size_t first = 0; first < facts.size(); first += kFactColumns) {
    std::vector<Cell> labels;
    std::vector<Cell> values;
    for (std::size_t i = first; i < std::min(facts.size(), first + kFactColumns); ++i) {
      const double x = static_cast<double>(i - first) * (column + kBetweenFacts);
      labels.push_back({x, book.Set(facts[i].label, styles::kLabel, column), {}});
      values.push_back({x, book.Set(facts[i].value, styles::kBody, column), {}});
    }
    book.pages.Need(50);
    book.pages.Row(labels);
    book.pages.Row(values);
    book.pages.Take(5);
  }
}

}  // namespace

void SetHeading(PdfBook& book) {
  const ReportHeading& heading = book.model.heading;
  book.pages.Destination("section-title");
  book.pages.Bookmark(book.Text("title"), "section-title");
  book.pages.Paragraph(book.Text("title"), styles::kOverline);
  book.pages.Take(1);
  TextStyle title = styles::kTitle;
  if (heading.case_code.size() > kLongCode) title.size_pt = 14;
  book.pages.Paragraph(heading.case_code.empty() ? book.Text("case") : heading.case_code, title);
  book.pages.Take(2);
  book.pages.Paragraph(SubtitleOf(book.model), styles::kBody);
  book.pages.Take(8);
  book.pages.Rule(0.75);
  book.pages.Take(7);
  SetFacts(book, FactsOf(book.model));
}

}  // namespace afterscope
