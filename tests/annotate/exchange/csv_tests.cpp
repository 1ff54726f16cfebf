// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/csv.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <fstream>

using namespace afterscope;

TEST_CASE("Cells are quoted after RFC 4180, section 2") {
  CHECK(CsvLine({"a", "b"}) == "a,b\r\n");
  CHECK(CsvLine({"a,b", "say \"x\"", "two\nlines"}) == "\"a,b\",\"say \"\"x\"\"\",\"two\nlines\"\r\n");
  CHECK(CsvLine({"", ""}) == ",\r\n");
}

// The list of beginnings is that of OWASP, "CSV Injection".
TEST_CASE("A text that a spreadsheet would take for a formula is guarded, and comes back") {
  for (const std::string text :
       {"=1+1", "+cmd", "-2+3", "@SUM(A1)", "\tx", "\rx", "\nx", " =1+1", "'=x", "\uFF1D1"}) {
    CHECK(CsvText(text).front() == '\'');
    CHECK(TextFromCsv(CsvText(text)) == text);
  }
  for (const std::string text : {"", "Rhexis", "'quoted'", "O'Neill", "1-2", "'"}) {
    CHECK(CsvText(text) == text);
    CHECK(TextFromCsv(text) == text);
  }
}

TEST_CASE("Python's csv module reads the cells back") {
  const TemporaryFolder folder;
  const std::vector<std::string> cells{"a,b", "\"", "two\r\nlines", " spaced ", "semi;colon", "দ্বিতীয়"};
  std::ofstream(folder / "t.csv", std::ios::binary) << CsvLine(cells);
  const std::string read = OutputOf(
      "python3 -c 'import csv,sys; r=next(csv.reader(open(sys.argv[1],newline=\"\",encoding=\"utf-8\"))); "
      "sys.stdout.write(\"|\".join(r))' " +
      folder / "t.csv");
  std::string wanted;
  for (const std::string& cell : cells) wanted += (wanted.empty() ? "" : "|") + cell;
  CHECK(read == wanted);
}
