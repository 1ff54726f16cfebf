// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/day_table.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

ProposedCase Proposal(const char* name, std::optional<std::int64_t> started) {
  FoundRecording recording;
  recording.path = std::string("/nowhere/") + name + ".mp4";
  recording.seconds = 60;
  recording.started_s = started;
  return {name, {recording, recording}, {"next number"}};
}

}  // namespace

TEST_CASE("A day's rows take name, date and length from the recordings", "[day]") {
  // 2019-10-16 10:13:16 UTC is 1571220796 seconds after 1970 (as `date -u -d @1571220796` says).
  const auto rows = DayRows({Proposal("list 3", 1571220796), Proposal("other", std::nullopt)});
  REQUIRE(rows.size() == 2);
  CHECK(rows[0].cells[0] == "list 3");
  CHECK(rows[0].cells[1] == "2019-10-16");
  CHECK(rows[0].Seconds() == 120);
  CHECK(rows[1].cells[1].empty());
  CHECK(rows[1].take);
}

TEST_CASE("A row's cells become fields, or one sentence", "[day]") {
  DayRow row;
  row.cells = {"K12", "2026-11-02", "r", "S1", "6"};
  const auto fields = FieldsOfRow(row);
  REQUIRE(fields);
  CaseRecord record;
  Review review;
  REQUIRE(ApplyEdits(*fields, record, review));
  CHECK(record.code == "K12");
  CHECK(record.date == "2026-11-02");
  CHECK(record.eye == Eye::kRight);
  CHECK(record.operator_code == "S1");
  CHECK(record.optic_diameter_mm == 6.0);
  row.cells = {"", "", "", "", ""};
  CHECK(FieldsOfRow(row)->edits.empty());
  row.cells[2] = "both";
  CHECK_FALSE(FieldsOfRow(row));
  row.cells[2] = "L";
  row.cells[4] = "wide";
  CHECK_FALSE(FieldsOfRow(row));
}

}  // namespace afterscope
