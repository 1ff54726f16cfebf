// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/html_report.hpp"
#include "tests/annotate/report/report_support.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <fstream>
#include <regex>

using namespace afterscope;

namespace {

int Count(const std::string& text, const std::string& pattern) {
  const std::regex wanted(pattern, std::regex::icase);
  return static_cast<int>(std::distance(std::sregex_iterator(text.begin(), text.end(), wanted), {}));
}

// What Python's HTML parser finds: the names of all elements, then all attributes whose name begins with
// "on".
std::string ParsedElements(const std::string& html) {
  const TemporaryFolder folder;
  std::ofstream(folder / "r.html", std::ios::binary) << html;
  std::ofstream(folder / "p.py")
      << "import sys\nfrom html.parser import HTMLParser\n"
         "class P(HTMLParser):\n"
         "  def __init__(s): super().__init__(); s.t=set()\n"
         "  def handle_starttag(s,t,a): s.t.add(t); s.t.update('!'+k for k,v in a if k.startswith('on'))\n"
         "p=P(); p.feed(open(sys.argv[1],encoding='utf-8').read()); print(' '.join(sorted(p.t)))\n";
  return OutputOf("python3 '" + folder / "p.py" + "' '" + folder / "r.html" + "'");
}

}  // namespace

TEST_CASE("The page needs nothing from elsewhere and runs nothing") {
  const std::string html = MakeHtml(ModelOf(FullCase(), true));
  CHECK(html.find("default-src 'none'; img-src data:; style-src 'unsafe-inline'") != std::string::npos);
  CHECK(Count(html, "(src|href)=\"(?!data:image/jpeg;base64,|#)") == 0);
  CHECK(Count(html, "<img ") == 5);  // rhexis, trail, three moments
  const std::string elements = ParsedElements(html);
  CHECK(elements.find("script") == std::string::npos);
  CHECK(elements.find("svg") != std::string::npos);
}

TEST_CASE("No text of the case becomes markup") {
  const std::string hostile =
      "<script>alert(1)</script><img src=x onerror=alert(1)>\" onload=\"x' \u202E\x01\xff";
  InventedCase made = FullCase();
  made.record.code = made.record.operation = made.record.operator_code = made.record.operator_role = hostile;
  made.record.supervision_level = made.record.date = hostile;
  made.record.difficulty = {hostile};
  made.review.assessment = {hostile, {hostile, hostile}, hostile, hostile, hostile};
  made.review.reviewer_code = hostile;
  for (Moment& moment : made.review.moments) {
    moment.text = moment.key = hostile;
    moment.fields = {{hostile, hostile}};
  }
  for (StepKind& step : made.steps.steps) step.name = hostile + step.key;
  for (CheckKind& check : made.steps.checks) check.name = hostile;
  const auto renamed = [&](Finding& finding) {
    if (finding.operator_code == "T7") finding.operator_code = hostile;
  };
  for (EarlierCase& earlier : made.earlier)
    std::for_each(earlier.findings.begin(), earlier.findings.end(), renamed);
  for (Finding& finding : made.findings) {
    renamed(finding);
    finding.measured.method = hostile;
    finding.measured.cautions = {hostile};
  }
  made.review.trails[0].instrument = hostile;
  made.record.recordings[0].path = hostile;
  const std::string html = MakeHtml(ModelOf(made, true));
  const std::string plain = MakeHtml(ModelOf(FullCase(), true));
  CHECK(ParsedElements(html) == ParsedElements(plain));
  CHECK(html.find('\x01') == std::string::npos);
  CHECK(html.find("\u202E") == std::string::npos);
  CHECK(html.find("[U+202E]") != std::string::npos);
}

TEST_CASE("Every link leads to a place of the page, and no place is there twice") {
  const std::string html = MakeHtml(ModelOf(FullCase(), true));
  const std::regex link("href=\"#([^\"]+)\"");
  int links = 0;
  for (std::sregex_iterator at(html.begin(), html.end(), link), end; at != end; ++at, ++links)
    CHECK(Count(html, " id=\"" + (*at)[1].str() + "\"") == 1);
  CHECK(links > 5);
}
