// SPDX-License-Identifier: Apache-2.0
// Words that were written to do harm go through every output of words. That a spreadsheet takes a cell for a
// formula that begins with = + - @, tab or carriage return, says OWASP's page on CSV injection; the escapes
// of terminals are those of ECMA-48; bidirectional controls are in Unicode Standard Annex #9.
#include "annotate/exchange/delimited_text.hpp"
#include "annotate/exchange/timed_text.hpp"
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <charconv>
#include <string>
#include <vector>

namespace afterscope {
namespace {

using Json = nlohmann::json;

const std::string kHarm =
    "=HYPERLINK(\"http://x.invalid\") <script>alert(1)</script> '); DROP TABLE cases;-- \x1b]0;owned\x07 "
    "\xE2\x80\xAEgnp.exe\xC2\x9B"
    "31m\n\n00:00:01.000 --> 00:00:02.000\nsaid";

// What steers a terminal or reorders what it shows; line feeds and tabs are ours.
bool IsInertOnTerminal(const std::string& text) {
  for (const char c : text)
    if ((static_cast<unsigned char>(c) < 32 && c != '\n' && c != '\t') || c == 127) return false;
  return !Has(text, "\xE2\x80\xAE") && !Has(text, "\xC2\x9B");
}

bool IsInertPage(const std::string& html) {
  return !Has(html, "<script>alert") && !Has(html, "\x1b") && !Has(html, "\xE2\x80\xAE") &&
         Has(html, "Content-Security-Policy") && Has(html, "&lt;script&gt;");
}

bool IsNumber(const std::string& cell) {
  double value = 0;
  const auto [end, problem] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  return problem == std::errc() && end == cell.data() + cell.size();
}

// The cells of a table as a spreadsheet splits them, quotes taken off (RFC 4180).
std::vector<std::string> Cells(const std::string& table) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (std::size_t i = 0; i < table.size(); ++i) {
    const char c = table[i];
    if (c == '"' && quoted && i + 1 < table.size() && table[i + 1] == '"')
      cells.back() += table[++i];
    else if (c == '"')
      quoted = !quoted;
    else if (!quoted && (c == ',' || c == '\n'))
      cells.emplace_back();
    else if (quoted || c != '\r')
      cells.back() += c;
  }
  return cells;
}

void CheckTable(const std::string& table) {
  CHECK(Has(table, "HYPERLINK"));
  for (const std::string& cell : Cells(table)) {
    INFO(cell);
    CHECK((cell.empty() || std::string("=+-@\t\r").find(cell[0]) == std::string::npos || IsNumber(cell)));
  }
}

// A case in which every free text is the harmful one, and a shelf with it alone.
void MakeHostileCase(const TemporaryFolder& folder) {
  WriteBytes(folder / "steps.csv", "step,start,end\nrhexis,0,50\nlens,50,80\n");
  Done(folder.path(), "import cases/c --steps steps.csv --rate 25 --set date=2026-01-02");
  Json fields = Json::array();
  for (const char* field :
       {"code", "operator_code", "supervisor_code", "operation", "extra.note", "extra.outcome.day1_cornea"})
    fields.push_back({{"set_case_field", {{"field", field}, {"text", kHarm}}}});
  WriteBytes(folder / "fields.json", Json{{"edits", fields}}.dump());
  Done(folder.path(), "tag cases/c --reviewer m1 --edits fields.json");
  Json edits = Json::array();
  const Json at{{"recording", 0}, {"ticks", 30}};
  edits.push_back({{"put_moment", {{"at", at}, {"kind", "remark"}, {"text", kHarm}}}});
  edits.push_back({{"put_moment", {{"at", at}, {"kind", "complication"}, {"key", kHarm}, {"text", kHarm}}}});
  edits.push_back({{"put_visit",
                    {{"step", kHarm},
                     {"start", {{"recording", 0}, {"ticks", 85}}},
                     {"end", {{"recording", 0}, {"ticks", 95}}}}}});
  WriteBytes(folder / "edits.json", Json{{"edits", edits}}.dump());
  Done(folder.path(), "tag cases/c --reviewer m1 --edits edits.json");
}

}  // namespace

TEST_CASE("Harmful words do no harm on a terminal", "[commands][hostile]") {
  const TemporaryFolder folder;
  MakeHostileCase(folder);
  for (const char* call :
       {"tag cases/c --list", "check cases", "find cases --words HYPERLINK", "find cases --step rhexis",
        "outcomes cases", "series cases", "measure cases/c", "tag cases/c --reviews", "due cases",
        "check 'cases/\x1b]0;owned\x07'", "report cases/c -o 'no/\x1b[2J.pdf'", "forget --case cases/c"}) {
    const ForkedRun run = RunForked(folder.path(), call);
    INFO(call << "\n" << run.out << run.err);
    CHECK(run.status < 100);
    CHECK(IsInertOnTerminal(run.out));
    CHECK(IsInertOnTerminal(run.err));
  }
  CHECK(Has(Done(folder.path(), "tag cases/c --list"), "[U+001B]"));
}

TEST_CASE("Harmful words are words in tables", "[commands][hostile]") {
  const TemporaryFolder folder;
  MakeHostileCase(folder);
  Done(folder.path(), "report cases/c -o steps.csv");
  Done(folder.path(), "measure cases/c --csv findings.csv --json findings.json");
  Done(folder.path(), fmt::format("series cases --csv values.csv --lines values.jsonl --json series.json"));
  for (const char* table : {"steps.csv", "findings.csv", "values.csv"}) {
    INFO(table);
    CheckTable(BytesOf(folder / table));
  }
  for (const char* file : {"findings.json", "series.json"}) CHECK(Json::accept(BytesOf(folder / file)));
  const std::string lines = BytesOf(folder / "values.jsonl");
  CHECK(IsInertOnTerminal(lines.substr(0, lines.find("\xE2\x80\xAE"))));
  for (std::size_t at = 0; at < lines.size();) {
    const std::size_t end = lines.find('\n', at);
    REQUIRE(end != std::string::npos);
    CHECK(Json::accept(lines.substr(at, end - at)));
    at = end + 1;
  }
}

TEST_CASE("Harmful words are words on pages, in documents and captions", "[commands][hostile]") {
  const TemporaryFolder folder;
  MakeHostileCase(folder);
  Done(folder.path(), "tag cases/c --set operator_code=o1");
  Done(folder.path(), "report cases/c -o report.html");
  Done(folder.path(),
       "series cases --operator o1 --report series.html --progress progress.html --portfolio portfolio.html "
       "--logbook logbook.csv");
  for (const char* page : {"report.html", "series.html", "progress.html", "portfolio.html"}) {
    INFO(page);
    CHECK(IsInertPage(BytesOf(folder / page)));
  }
  CheckTable(BytesOf(folder / "logbook.csv"));
  Done(folder.path(), "series cases --operator o1 --portfolio portfolio.pdf");
  const std::string pdf = BytesOf(folder / "portfolio.pdf");
  CHECK_FALSE(Has(pdf, "/JavaScript"));
  CHECK_FALSE(Has(pdf, "/URI"));
  const std::string text = OutputOf("pdftotext " + (folder / "portfolio.pdf") + " -");
  CHECK(Has(text, "[U+001B]"));
  CHECK_FALSE(Has(text, "\x1b"));

  const std::string chapters = Done(folder.path(), "clip cases/c --chapters-of-case -");
  const auto cues = ReadTimedText(chapters);
  REQUIRE(cues.ok());
  CHECK(cues->cues.size() == 3);
  CHECK_FALSE(Has(chapters, "<script>"));
}

TEST_CASE("Harmful words are words in the index", "[commands][hostile]") {
  const TemporaryFolder folder;
  MakeHostileCase(folder);
  for (int i = 0; i < 2; ++i) {
    const Json series = Json::parse(Done(folder.path(), "series cases --json -"));
    CHECK(series["measures"].size() > 2);
  }
  CHECK(Has(Done(folder.path(), "outcomes cases"), "DROP TABLE cases"));
}

}  // namespace afterscope
