// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace afterscope {

// A line of a table after RFC 4180: cells quoted where they must be, CR LF at the end.
std::string CsvLine(const std::vector<std::string>& cells);

// A text that a spreadsheet will not take for a formula: one that begins with = + - @, a tab, a carriage
// return or a line feed (also in their full-width forms, and after blanks) gets an apostrophe in front.
// Numbers don't go through here.
std::string CsvText(std::string_view text);
// Takes back what CsvText did.
std::string TextFromCsv(std::string_view cell);

}  // namespace afterscope
