// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/delimited_text.hpp"

#include "annotate/case/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <utility>

namespace afterscope {
namespace {

constexpr std::size_t kMostColumns = 1000;

char SeparatorOf(std::string_view first_line) {
  char best = ',';
  std::ptrdiff_t most = 0;
  for (const char candidate : {',', ';', '\t'}) {
    std::ptrdiff_t count = 0;
    bool quoted = false;
    for (const char c : first_line) {
      if (c == '"') quoted = !quoted;
      if (c == candidate && !quoted) ++count;
    }
    if (count > most) {
      most = count;
      best = candidate;
    }
  }
  return best;
}

std::string WithoutGuard(std::string cell) {
  constexpr std::string_view kFormula = "=+-@";
  if (cell.size() > 1 && cell[0] == '\'' && kFormula.find(cell[1]) != std::string_view::npos)
    cell.erase(0, 1);
  return cell;
}

// "1,234" may be a little more than one or a thousand and more.
bool IsThousandsLike(std::string_view text) {
  if (text.starts_with('-') || text.starts_with('+')) text.remove_prefix(1);
  const auto comma = text.find(',');
  return comma >= 1 && comma <= 3 && text.size() - comma - 1 == 3 && text[0] != '0';
}

bool SameName(std::string_view a, std::string_view b) {
  const auto folded = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; };
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [&](char x, char y) { return folded(x) == folded(y); });
}

// Takes one record off the text; false where a quote is not closed.
struct Splitter {
  std::string_view rest;
  char separator;
  int line = 1;

  bool Next(std::vector<std::string>& cells) {
    cells.assign(1, "");
    bool quoted = false, blank = true;  // blank: so far the cell has spaces at most
    std::size_t i = 0;
    for (; i < rest.size(); ++i) {
      const char c = rest[i];
      if (c == '\n') ++line;
      if (quoted) {
        if (c != '"') {
          cells.back() += c;
        } else if (i + 1 < rest.size() && rest[i + 1] == '"') {
          cells.back() += '"';
          ++i;
        } else {
          quoted = false;
        }
      } else if (c == '"' && blank) {
        cells.back().clear();
        quoted = true;
        blank = false;
      } else if (c == separator) {
        cells.emplace_back();
        blank = true;
      } else if (c == '\n') {
        break;
      } else {
        cells.back() += c;
        blank = blank && Trimmed(std::string_view(&c, 1)).empty();
      }
    }
    rest.remove_prefix(std::min(rest.size(), i + 1));
    for (std::string& cell : cells) cell = WithoutGuard(std::string(Trimmed(cell)));
    return !quoted;
  }
};

}  // namespace

std::optional<std::size_t> TextTable::Column(const std::string& wanted) const {
  for (std::size_t i = 0; i < header.size(); ++i)
    if (SameName(header[i], wanted)) return i;
  std::size_t number = 0;
  const auto [end, problem] = std::from_chars(wanted.data(), wanted.data() + wanted.size(), number);
  if (problem != std::errc{} || end != wanted.data() + wanted.size() || number < 1 || number > header.size())
    return std::nullopt;
  return number - 1;
}

const std::string& TextTable::Cell(std::size_t row, std::size_t column) const {
  static const std::string none;
  return column < rows[row].size() ? rows[row][column] : none;
}

Result<TextTable> ReadDelimited(std::string_view text, const std::string& name) {
  const auto unreadable = [&](const std::string& why) {
    return Error{ErrorCode::kUnreadable, fmt::format("Can't read the table '{}': {}.", name, why)};
  };
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  if (!IsCleanText(text)) return unreadable("it is not UTF-8 text");
  TextTable table;
  table.name = name;
  table.separator = SeparatorOf(text.substr(0, text.find('\n')));
  Splitter splitter{text, table.separator};
  while (!splitter.rest.empty()) {
    const int line = splitter.line;
    std::vector<std::string> cells;
    if (!splitter.Next(cells))
      return unreadable(fmt::format("a quote that opens in line {} is not closed", line));
    if (std::all_of(cells.begin(), cells.end(), [](const std::string& cell) { return cell.empty(); }))
      continue;
    if (table.header.empty()) {
      if (cells.size() > kMostColumns) return unreadable("it has more than 1000 columns");
      table.header = std::move(cells);
      continue;
    }
    if (cells.size() > table.header.size())
      return unreadable(
          fmt::format("line {} has {} cells, the first line {}", line, cells.size(), table.header.size()));
    table.rows.push_back(std::move(cells));
    table.lines.push_back(line);
  }
  if (table.rows.empty()) return unreadable("it has no rows under its first line");
  return table;
}

std::optional<std::string> WithDecimalPoint(const TextTable& table, std::string text) {
  const bool has_comma =
      std::count(text.begin(), text.end(), ',') == 1 && text.find('.') == std::string::npos;
  if (!has_comma) return text;
  if (table.separator == ',' && IsThousandsLike(text)) return std::nullopt;
  text[text.find(',')] = '.';
  return text;
}

}  // namespace afterscope
