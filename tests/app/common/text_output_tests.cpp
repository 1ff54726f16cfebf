// SPDX-License-Identifier: Apache-2.0
#include "app/common/number_options.hpp"
#include "app/common/text_output.hpp"
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <string>

namespace afterscope {

TEST_CASE("A table goes as it is into a pipe, and safe to show to a terminal", "[commands]") {
  const std::string table = "name,s\r\n\x1b]0;x\x07\u202E,1\r\n";
  CHECK(ForOutput(table, false) == table);
  CHECK(ForOutput(table, true) == "name,s\n[U+001B]]0;x[U+0007][U+202E],1\n");
}

TEST_CASE("A number of an option is finite and within its limits", "[commands]") {
  const auto lets = [](const CLI::Validator& validator, std::string text) { return validator(text).empty(); };
  for (const char* text : {"nan", "inf", "-inf", "", " ", "1e999", "x", "0x10"}) {
    CHECK_FALSE(lets(NumberWithin(0, 1e9), text));
    CHECK_FALSE(lets(AnyNumber(), text));
  }
  CHECK(lets(NumberWithin(0.5, 0.999), "0.5"));
  CHECK_FALSE(lets(NumberWithin(0.5, 0.999), "0.4999"));
  CHECK_FALSE(lets(NumberWithin(0.5, 0.999), "1"));
  CHECK(lets(AnyNumber(), "-2.5"));
  CHECK(lets(AnyNumber(), "+1e3"));
}

TEST_CASE("A wrong call is answered with one sentence that steers no terminal", "[commands]") {
  const TemporaryFolder folder;
  for (const char* call :
       {"series . --level nan", "find . --before nan", "intake . --gap nan", "intake . --gap inf",
        "agree . --level nan", "clip c --fade ''", "clip c --quality ''", "clip c --quality -1",
        "forget --case ''", "forget --overdue '' --yes", "import c --narration n.vtt --offset nan",
        "series . --paper '\x1b[31m\nx'", "'--\x1b[31m'", "report", ""}) {
    const ForkedRun run = RunForked(folder.path(), call);
    INFO(call << ": " << run.err);
    CHECK(run.status == 2);
    CHECK(run.out.empty());
    CHECK(run.err.ends_with(".\n"));
    CHECK(std::count(run.err.begin(), run.err.end(), '\n') == 1);
    CHECK(run.err.find('\x1b') == std::string::npos);
  }
  CHECK(RunForked(folder.path(), "--version").status == 0);
  CHECK(RunForked(folder.path(), "clip --help").out.find("--fade") != std::string::npos);
}

}  // namespace afterscope
