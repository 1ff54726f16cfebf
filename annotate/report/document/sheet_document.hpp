// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/report/chart/chart.hpp"
#include "annotate/report/pdf/page_setup.hpp"
#include "annotate/report/report_model.hpp"
#include "annotate/report/report_page.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace afterscope {

// A report over many cases as headed sections of words, tables, charts and pictures, independent of where it
// is written. All texts are plain; they are made safe where they are set.

enum class Voice { kPlain, kSmall, kStrong, kQuoted };  // quoted: what people wrote

struct DocumentText {
  std::string text;
  Voice voice = Voice::kPlain;
};

struct DocumentTable {
  std::vector<std::string> heads;
  std::vector<double> shares;                  // of the width, for each column
  std::vector<std::vector<std::string>> rows;  // as many cells as heads
  std::size_t figures_from = 1;                // columns from this one on hold figures, set to the right
};

using DocumentBlock = std::variant<DocumentText, DocumentTable, Chart, ReportPicture>;

struct DocumentSection {
  std::string heading;
  std::vector<DocumentBlock> blocks;

  void Say(std::string text, Voice voice = Voice::kPlain) {
    blocks.emplace_back(DocumentText{std::move(text), voice});
  }
};

struct SheetDocument {
  std::string title;
  std::string subtitle;
  std::vector<std::pair<std::string, std::string>> facts;  // what, which
  std::vector<DocumentSection> sections;
  std::string footer;  // on every page: what it is for
};

// The width that charts are laid out for.
inline constexpr double kDocumentWidth = 495;

struct SheetFileOptions {
  Paper paper = Paper::kA4;
  std::string made_at;  // ISO 8601; empty: none
};
Result<std::string> PdfFromDocument(const SheetDocument& document, const SheetFileOptions& options);
// One page of the same PDF, as PageMaker says.
Result<ReportPage> MakeDocumentPage(const SheetDocument& document, const SheetFileOptions& options, int page,
                                    double pixels_per_point);
std::string HtmlFromDocument(const SheetDocument& document);

// By the name's ending: .pdf, .html or .htm. Puts it in place whole.
Status WriteDocument(const SheetDocument& document, const std::string& path, const SheetFileOptions& options,
                     FileSystem& files = RealFileSystem());

}  // namespace afterscope
