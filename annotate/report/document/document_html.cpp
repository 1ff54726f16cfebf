// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/chart/chart_paint.hpp"
#include "annotate/report/document/sheet_document.hpp"
#include "annotate/report/html/html_style.hpp"
#include "annotate/report/html/html_text.hpp"
#include "annotate/report/picture_painter.hpp"
#include "annotate/store/user_file.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace afterscope {
namespace {

constexpr int kPictureWidthPx = 640;
constexpr const char* kOwnStyle =
    ".chart{width:100%;height:auto}.chart text{font-family:inherit}h4{margin:1rem 0 .2rem}";

struct BlockWriter {
  std::string& out;

  void operator()(const DocumentText& text) const {
    if (text.voice == Voice::kStrong) {
      out += fmt::format("<h4>{}</h4>\n", EscapeHtml(text.text));
      return;
    }
    const char* css = text.voice == Voice::kSmall ? "small" : text.voice == Voice::kQuoted ? "voice" : "";
    out += fmt::format("<p class=\"{}\">{}</p>\n", css, EscapeHtml(text.text));
  }

  void operator()(const DocumentTable& table) const {
    out += "<table><thead><tr>";
    const auto css = [&](std::size_t column) { return column >= table.figures_from ? " class=\"n\"" : ""; };
    for (std::size_t i = 0; i < table.heads.size(); ++i)
      out += fmt::format("<th{}>{}</th>", css(i), EscapeHtml(table.heads[i]));
    out += "</tr></thead>\n<tbody>\n";
    for (const std::vector<std::string>& row : table.rows) {
      out += "<tr>";
      for (std::size_t i = 0; i < row.size(); ++i)
        out += fmt::format("<td{}>{}</td>", css(i), EscapeHtml(row[i]));
      out += "</tr>\n";
    }
    out += "</tbody></table>\n";
  }

  void operator()(const Chart& chart) const { out += SvgFromChart(chart); }

  void operator()(const ReportPicture& picture) const {
    const std::string jpeg = PictureAsJpeg(picture, kPictureWidthPx, kPictureWidthPx * 0.75);
    if (jpeg.empty()) return (*this)(DocumentText{picture.missing, Voice::kSmall});
    out += fmt::format(
        "<figure class=\"wide\"><img alt=\"{0}\" "
        "src=\"data:image/jpeg;base64,{1}\"><figcaption>{0}</figcaption>"
        "</figure>\n",
        EscapeHtml(picture.caption), Base64(jpeg));
  }
};

bool EndsIn(const std::string& path, const char* ending) {
  std::string lower = path;
  std::transform(lower.begin(), lower.end(), lower.begin(), [](unsigned char c) { return std::tolower(c); });
  return lower.ends_with(ending);
}

}  // namespace

std::string HtmlFromDocument(const SheetDocument& document) {
  std::string out =
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src "
      "'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n";
  out += fmt::format(
      "<title>{}</title>\n<style>{}{}</style>\n</head>\n<body>\n<h1>{}</h1>\n<p class=\"overline\">{}</p>\n",
      EscapeHtml(document.title), kHtmlStyle, kOwnStyle, EscapeHtml(document.title),
      EscapeHtml(document.subtitle));
  out += "<dl class=\"facts\">\n";
  for (const auto& [what, which] : document.facts)
    out += fmt::format("<div><dt>{}</dt><dd>{}</dd></div>\n", EscapeHtml(what), EscapeHtml(which));
  out += "</dl>\n";
  for (const DocumentSection& section : document.sections) {
    out += fmt::format("<section>\n<h2>{}</h2>\n", EscapeHtml(section.heading));
    for (const DocumentBlock& block : section.blocks) std::visit(BlockWriter{out}, block);
    out += "</section>\n";
  }
  out += fmt::format("<footer><p class=\"small\">{}</p></footer>\n</body>\n</html>\n",
                     EscapeHtml(document.footer));
  return out;
}

Status WriteDocument(const SheetDocument& document, const std::string& path, const SheetFileOptions& options,
                     FileSystem& files) {
  if (EndsIn(path, ".html") || EndsIn(path, ".htm"))
    return WriteUserFile(files, path, HtmlFromDocument(document));
  if (!EndsIn(path, ".pdf"))
    return Error{ErrorCode::kBadCall,
                 fmt::format("'{}' is no kind of report: give a name that ends in .pdf or .html.", path)};
  AFTERSCOPE_ASSIGN(const std::string bytes, PdfFromDocument(document, options));
  return WriteUserFile(files, path, bytes);
}

}  // namespace afterscope
