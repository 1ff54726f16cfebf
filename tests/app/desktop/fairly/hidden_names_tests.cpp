// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/fairly/hidden_names.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

CaseRecord Telling() {
  CaseRecord record;
  record.code = "EYE-7";
  record.operator_code = "T2";
  record.supervisor_code = "S1";
  record.recordings.resize(2);
  record.recordings[0].path = "../recordings/2026-03-04_T2.mp4";
  record.recordings[1].path = "second.mp4";
  return record;
}

}  // namespace

TEST_CASE("Sentences about a blinded case name neither folder, files nor codes", "[fairly]") {
  const auto told = [](const char* text) { return WithoutNames(text, "/day/EYE-7", Telling()); };
  CHECK(told("The report is in /day/EYE-7/report.pdf") == "The report is in this case");
  CHECK(told("Can't change '/day/EYE-7': it is full.") == "Can't change 'this case': it is full.");
  CHECK(told("'/day/recordings/2026-03-04_T2.mp4' is gone") == "'recording 1' is gone");
  CHECK(told("2026-03-04_T2.mp4 and second.mp4 differ") == "recording 1 and recording 2 differ");
  CHECK(told("Taken over by S1 from T2.") == "Taken over by supervisor from operator.");
  CHECK(told("EYE-7 is signed") == "this case is signed");
}

TEST_CASE("Codes are hidden as words only, and a case without any changes nothing", "[fairly]") {
  CHECK(WithoutNames("S1 at S12, XT2", "", Telling()) == "supervisor at S12, XT2");
  CHECK(WithoutNames("Sound 80 %", "", CaseRecord{}) == "Sound 80 %");
  CHECK(WithoutNames("", "/day/EYE-7", Telling()).empty());
}

}  // namespace afterscope
