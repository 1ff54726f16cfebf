// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/csv.hpp"

#include <algorithm>
#include <array>

namespace afterscope {

namespace {

// What a spreadsheet reads as the beginning of a formula, the last four as full-width forms.
constexpr std::array<std::string_view, 11> kFormulaStarts{"=",  "+",      "-",      "@",      "\t",    "\r",
                                                          "\n", "\uFF1D", "\uFF0B", "\uFF0D", "\uFF20"};

// Some spreadsheets pass over blanks before it.
bool LooksLikeFormula(std::string_view text) {
  text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
  return std::any_of(kFormulaStarts.begin(), kFormulaStarts.end(),
                     [&](std::string_view start) { return text.starts_with(start); });
}

std::string Quoted(const std::string& cell) {
  if (cell.find_first_of(",;\"\r\n\t") == std::string::npos && !cell.starts_with(' ') && !cell.ends_with(' '))
    return cell;
  std::string out(1, '"');
  for (const char c : cell) out.append(c == '"' ? 2 : 1, c);
  out.push_back('"');
  return out;
}

}  // namespace

std::string CsvLine(const std::vector<std::string>& cells) {
  std::string line;
  for (const std::string& cell : cells) {
    if (&cell != &cells.front()) line += ',';
    line += Quoted(cell);
  }
  line += "\r\n";
  return line;
}

std::string CsvText(std::string_view text) {
  // A text that has an apostrophe before such a beginning gets another, so that reading back gives it again.
  const std::string_view bare = text.substr(std::min(text.find_first_not_of('\''), text.size()));
  std::string out(LooksLikeFormula(bare) ? "'" : "");
  return out.append(text);
}

std::string TextFromCsv(std::string_view cell) {
  const std::string_view bare = cell.substr(std::min(cell.find_first_not_of('\''), cell.size()));
  const bool guarded = cell.starts_with('\'') && LooksLikeFormula(bare);
  return std::string(guarded ? cell.substr(1) : cell);
}

}  // namespace afterscope
