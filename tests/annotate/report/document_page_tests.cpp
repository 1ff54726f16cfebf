// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/document/sheet_document.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <string>

namespace afterscope {
namespace {

SheetDocument LongDocument() {
  SheetDocument document;
  document.title = "Cases of a year";
  document.footer = "For review and teaching";
  DocumentTable table{{"Case", "Minutes"}, {0.7, 0.3}, {}, 1};
  for (int i = 0; i < 120; ++i)
    table.rows.push_back({fmt::format("EYE-{:03}", i), fmt::format("{}", 9 + i % 4)});
  document.sections.push_back({"All of them", {table}});
  return document;
}

// What pdfinfo, of poppler, counts in the file.
int PagesOfFile(const std::string& path) {
  const std::string told = OutputOf("pdfinfo '" + path + "'");
  const auto at = told.find("Pages:");
  return at == std::string::npos ? 0 : std::atoi(told.c_str() + at + 6);
}

bool HasInk(const RgbImage& image) {
  return std::any_of(image.pixels.begin(), image.pixels.end(),
                     [](std::uint8_t value) { return value < 100; });
}

}  // namespace

TEST_CASE("A document over many cases has as many pages to be looked at as its file", "[report]") {
  const TemporaryFolder folder;
  const SheetDocument document = LongDocument();
  const std::string path = folder / "year.pdf";
  REQUIRE(WriteDocument(document, path, {}).ok());
  const auto first = MakeDocumentPage(document, {}, 1, 0.5);
  REQUIRE(first.ok());
  CHECK(first->pages == PagesOfFile(path));
  CHECK(first->pages > 1);
  CHECK(first->image.width == 298);  // of A4: 595.276 points, halved
  CHECK(HasInk(first->image));
  const auto past = MakeDocumentPage(document, {}, 99, 0.5);
  REQUIRE(past.ok());
  CHECK(past->page == first->pages);
  CHECK(HasInk(past->image));
}

}  // namespace afterscope
