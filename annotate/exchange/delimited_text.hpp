// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// A table read from text: cells by row, the first row as names of the columns.
struct TextTable {
  std::string name;  // for sentences
  char separator = ',';
  std::vector<std::string> header;
  std::vector<std::vector<std::string>> rows;  // at most as many cells as the header: see Cell
  std::vector<int> lines;                      // where each row starts in the file, from 1

  // The column with that name (ASCII letters of either case), else the one with that number, from 1.
  std::optional<std::size_t> Column(const std::string& name_or_number) const;
  // Empty where the row has fewer cells.
  const std::string& Cell(std::size_t row, std::size_t column) const;
};

// Reads comma, semicolon or tab separated text (whichever is most frequent in the first line), with or
// without a byte order mark, quoted as in RFC 4180, lines ended by LF or CRLF; empty lines are passed over. A
// leading ' before = + - @, which exports add against spreadsheets' formulas, is taken off. kUnreadable for
// malformed UTF-8, an unclosed quote, a row with more cells than the header, or nothing but a header.
Result<TextTable> ReadDelimited(std::string_view text, const std::string& name);

// The text of a cell that is meant as a number, a decimal comma made a point. Empty where its comma may also
// part thousands, as in "1,234" of a table whose cells a comma separates.
std::optional<std::string> WithDecimalPoint(const TextTable& table, std::string text);

}  // namespace afterscope
