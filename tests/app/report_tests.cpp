// SPDX-License-Identifier: Apache-2.0
#include "tests/support/places.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>

using namespace afterscope;

namespace {

const std::string kProgram = places::kProgram;

int StatusOf(const std::string& arguments) {
  int status = -1;
  OutputOf("'" + kProgram + "' " + arguments + " 2>&1", &status);
  return status;
}

// A case with one recording of a second, made by Debian's ffmpeg; the step is tagged at its times in frames.
void MakeCase(const std::string& folder, const std::string& movie, const std::string& date, double seconds) {
  REQUIRE(StatusOf("new '" + folder + "' --recording '" + movie +
                   "' --set code=C --set operator_code=T7 --set date=" + date) == 0);
  REQUIRE(StatusOf("tag '" + folder + "' --step rhexis --at 0.2 --to " + std::to_string(seconds)) == 0);
}

}  // namespace

TEST_CASE("report writes each kind, with the same operator's earlier cases beside it") {
  const TemporaryFolder folder;
  const std::string movie = folder / "m.avi";
  OutputOf("ffmpeg -v error -f lavfi -i testsrc=size=160x120:rate=10:duration=2 -c:v mjpeg '" + movie + "'");
  MakeCase(folder / "a", movie, "2026-01-01", 0.7);
  MakeCase(folder / "b", movie, "2026-02-01", 1.2);
  for (const std::string name : {"r.pdf", "r.html", "r.json", "r.csv"})
    CHECK(StatusOf("report '" + folder / "b" + "' -o '" + folder / name + "'") == 0);
  // 1.0 s here, 0.5 s in the one earlier case; by the times tagged above.
  CHECK(OutputOf("tail -1 '" + folder / "r.csv" + "'").find(",1,0.500,0.500,0.500") != std::string::npos);
  CHECK(OutputOf("pdftotext '" + folder / "r.pdf" + "' -").find("1.0") != std::string::npos);
}

TEST_CASE("report says by its status what is wrong") {
  const TemporaryFolder folder;
  const std::string movie = folder / "m.avi";
  OutputOf("ffmpeg -v error -f lavfi -i testsrc=size=160x120:rate=10:duration=1 -c:v mjpeg '" + movie + "'");
  REQUIRE(StatusOf("new '" + folder / "c" + "' --recording '" + movie + "'") == 0);
  CHECK(StatusOf("report '" + folder / "c" + "' -o '" + folder / "r.docx" + "'") == 2);
  CHECK(StatusOf("report '" + folder / "c" + "' -o '" + folder / "r.pdf" + "' --paper a5") == 2);
  CHECK(StatusOf("report '" + folder / "none" + "' -o '" + folder / "r.pdf" + "'") == 3);
  CHECK(StatusOf("report '" + folder / "c" + "' -o '" + folder / "r.csv" + "'") == 4);
  CHECK(StatusOf("report '" + folder / "c" + "' -o '" + folder / "no/r.pdf" + "'") == 5);
  CHECK(StatusOf("report '" + folder / "c" + "' -o '" + folder / "r.pdf" + "'") ==
        0);  // nothing tagged is a report too
}
