// SPDX-License-Identifier: Apache-2.0
#include "annotate/exchange/step_table.hpp"

#include <catch2/catch.hpp>

namespace afterscope {
namespace {

TextTable Table(const std::string& text) {
  auto table = ReadDelimited(text, "table");
  INFO((table.ok() ? "" : table.error().message));
  REQUIRE(table.ok());
  return std::move(*table);
}

StepTableOptions Options(ColumnMap columns) {
  StepTableOptions options;
  options.columns = std::move(columns);
  return options;
}

}  // namespace

// The worked case of an open set of 101 cataract recordings (Schoeffmann et al. 2018; video 269, 14734 frames
// at 25 a second): start frames as published, seconds by (next start - start) / 25.
TEST_CASE("Start-only tables: video 269 of a published set", "[exchange]") {
  const TextTable steps = Table(
      "VideoID;FrameNo;Phase\n269;68;1\n269;1043;2\n269;1228;3\n269;2118;4\n269;3478;5\n269;6864;6\n269;7727;"
      "7\n"
      "269;8473;2\n269;8683;8\n269;9482;9\n269;14138;10\n269;14623;10\n270;10;1\n270;20;2\n");
  const TextTable cases =
      Table("\xEF\xBB\xBFVideoID;Frames;FPS;Surgeon;Experience\r\n269;14734;25;1;1\r\n270;30;25;2;2\r\n");
  const TextTable names = Table(
      "Phase;Meaning\n1;Incision\n2;Viscous agent injection\n3;Rhexis\n4;Hydrodissection\n"
      "5;Phacoemulsificiation\n6;Irrigation and aspiration\n7;Capsule polishing\n"
      "8;Lens implant setting-up\n9;Viscous agent removal\n10;Tonifying and antibiotics\n");
  StepTableOptions options = Options({{"case", "VideoID"}, {"start", "FrameNo"}, {"step", "Phase"}});
  options.case_columns = {{"case", "VideoID"}, {"total", "Frames"}, {"rate", "FPS"}, {"operator", "Surgeon"}};
  options.name_columns = {{"step", "Phase"}, {"name", "Meaning"}};
  options.step_keys = {{"Viscous agent injection", "viscoelastic"}};
  StepList list;
  list.steps = {{"rhexis", "Rhexis", "r", false}};
  const auto result = CasesFromTables(steps, &cases, &names, options, list);
  REQUIRE(result.ok());
  REQUIRE(result->size() == 2);
  const TableCase& one = result->front();
  CHECK(one.code == "269");
  CHECK(one.operator_code == "1");
  CHECK(one.extra == std::map<std::string, std::string>{{"Experience", "1"}});
  CHECK(one.cautions.empty());
  CHECK(one.steps[1].step == "viscoelastic");
  CHECK(one.steps[2].step == "rhexis");
  CHECK(one.steps[3].step == "Hydrodissection");
  const RecordingRef recording = RecordingFor(one, options.unit);
  CHECK(recording.path.empty());
  CHECK((recording.shape.end - recording.shape.first).Seconds(recording.shape.time_base) == Approx(589.36));
  const double seconds[] = {39.00, 7.40, 35.60, 54.40,  135.44, 34.52,
                            29.84, 8.40, 31.96, 186.24, 19.40,  4.44};
  REQUIRE(one.steps.size() == std::size(seconds));
  for (std::size_t i = 0; i < one.steps.size(); ++i) {
    const TickSpan span{TicksFor(*one.steps[i].end, options.unit, recording.shape.time_base) -
                        TicksFor(one.steps[i].start, options.unit, recording.shape.time_base)};
    CHECK(span.Seconds(recording.shape.time_base) == Approx(seconds[i]).epsilon(1e-12));
  }
}

// The shape of another open set (Ghamsarian et al. 2024): comma, a column of row numbers, name, first and
// last frame; the rate in the fifth column of a second file. Durations there are last minus first.
TEST_CASE("Start-and-end tables by column number", "[exchange]") {
  const TextTable steps =
      Table(",comment,frame,endFrame,sec\n0,Incision,30,90,1\n1,\"Rhexis, main\",120,300,4\n");
  StepTableOptions options = Options({{"step", "2"}, {"start", "3"}, {"end", "4"}});
  options.rate = RateFrom("30000/1001");
  const auto result = CasesFromTables(steps, nullptr, nullptr, options, {});
  REQUIRE(result.ok());
  const TableCase& one = result->front();
  REQUIRE(one.steps.size() == 2);
  CHECK(one.steps[1].step == "Rhexis, main");
  CHECK(*one.steps[0].end - one.steps[0].start == 60);
  CHECK(RecordingFor(one, options.unit).shape.time_base == Rational{1001, 30000});
  CHECK(one.cautions.size() == 1);  // "sec" differs from row to row
  options.end_included = true;
  CHECK(CasesFromTables(steps, nullptr, nullptr, options, {})->front().steps[0].end == 91);
}

TEST_CASE("Seconds with a decimal comma, tabs, rows out of order, overlaps and rows without length",
          "[exchange]") {
  const TextTable steps = Table("step\tfrom\tto\tOP\nb\t10,5\t12\tx\na\t0,25\t11\tx\nc\t13\t13\tx\n");
  CHECK(steps.separator == '\t');
  StepTableOptions options =
      Options({{"step", "STEP"}, {"start", "from"}, {"end", "to"}, {"operator", "op"}});
  options.unit = TableUnit::kSeconds;
  const auto result = CasesFromTables(steps, nullptr, nullptr, options, {});
  REQUIRE(result.ok());
  const TableCase& one = result->front();
  REQUIRE(one.steps.size() == 2);
  CHECK(one.steps[0].step == "a");
  CHECK(one.steps[0].start == 0.25);
  CHECK(one.steps[1].start == 11);
  CHECK(one.operator_code == "x");
  CHECK(one.cautions.size() == 2);
  CHECK(RecordingFor(one, options.unit).shape.end == Pts{12000});
}

TEST_CASE("A table of several cases is not taken as one where no column is said to name the case",
          "[exchange]") {
  const TextTable table = Table("Op;step;start\nA;rhexis;10\nA;lens;90\nB;rhexis;12\nB;lens;70\n");
  const auto refused = CasesFromTables(table, nullptr, nullptr, Options({}), {});
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.error().code == ErrorCode::kBadCall);
  CHECK(refused.error().message.find("line 4") != std::string::npos);
  CHECK(refused.error().message.find("--columns case=Op") != std::string::npos);
  CHECK(CasesFromTables(table, nullptr, nullptr, Options({{"case", "Op"}}), {})->size() == 2);
  // Rows of one case that are out of order, with a column of remarks, are one case.
  const TextTable mixed =
      Table("note;step;start;end\nx;lens;90;99\ny;rhexis;10;20\n;cortex;60;80\nz;refill;85;88\n");
  CHECK(CasesFromTables(mixed, nullptr, nullptr, Options({}), {})->size() == 1);
}

TEST_CASE("Tables that can't be used are refused in words", "[exchange]") {
  for (const char* text : {"", "a,b\n", "a,b\n\"1,2\n", "a,b\n1,2,3\n", "a,b\n\xff,2\n"})
    CHECK(ReadDelimited(text, "t").error().code == ErrorCode::kUnreadable);
  const TextTable steps = Table("step,start\nx,ten\n");
  CHECK(CasesFromTables(steps, nullptr, nullptr, Options({{"step", "step"}, {"start", "start"}}), {})
            .error()
            .message == "Can't read the start 'ten' in line 2 of 'table': it is no number from 0 on.");
  const auto unnamed = CasesFromTables(Table("step,when\nx,1\n"), nullptr, nullptr, {}, {});
  REQUIRE_FALSE(unnamed.ok());
  CHECK(unnamed.error().code == ErrorCode::kBadCall);
  CHECK(unnamed.error().message.find("--columns start=NAME") != std::string::npos);
  CHECK(CasesFromTables(steps, nullptr, nullptr, Options({{"step", "step"}, {"start", "3"}}), {})
            .error()
            .code == ErrorCode::kBadCall);
  // A usual name of a column is enough.
  CHECK(CasesFromTables(Table("Phase,Frame_No,to\nx,1,5\n"), nullptr, nullptr, {}, {}).ok());
  for (const char* rate : {"", "0", "-25", "nan", "1/0", "1e9", "25 fps"}) CHECK_FALSE(RateFrom(rate));
  CHECK(RateFrom("29.97") == Rational{2997, 100});
}

TEST_CASE("Columns named step, start and end need not be told", "[exchange]") {
  StepTableOptions options;
  options.unit = TableUnit::kSeconds;
  const auto result =
      CasesFromTables(Table("step,start,end\na,\"0,5\",\"12,25\"\n"), nullptr, nullptr, options, {});
  REQUIRE(result.ok());
  REQUIRE(result->front().steps.size() == 1);
  CHECK(result->front().steps[0].start == 0.5);
  CHECK(result->front().steps[0].end == 12.25);
  // What the user says counts.
  options.columns = {{"start", "end"}};
  CHECK(CasesFromTables(Table("step,start,end\na,1,2\n"), nullptr, nullptr, options, {})
            ->front()
            .steps[0]
            .start == 2);
}

TEST_CASE("A column of the name of a case's field is that field", "[exchange]") {
  const TextTable steps = Table("case;step;start;Date;Operator-Role\na;rhexis;0;2024-03-01;trainee\n");
  const TextTable cases = Table("case;EYE;difficulty;date of birth\na;left;small_pupil;never\n");
  StepTableOptions options;
  options.total = 100;
  auto result = CasesFromTables(steps, &cases, nullptr, options, {});
  REQUIRE(result.ok());
  const CaseRecord record = RecordFor(result->front(), TableUnit::kSeconds);
  CHECK(record.code == "a");
  CHECK(record.date == "2024-03-01");
  CHECK(record.operator_role == "trainee");
  CHECK(record.eye == Eye::kLeft);
  CHECK(record.difficulty == std::vector<std::string>{"small_pupil"});
  CHECK(record.extra == std::map<std::string, std::string>{{"date of birth", "never"}});
  CHECK(record.recordings.size() == 1);
  CHECK(result->front().cautions.empty());
  // A date of another form is kept, and told.
  auto other = CasesFromTables(Table("step;start;date\nrhexis;0;1.3.2024\n"), nullptr, nullptr, options, {});
  REQUIRE(other.ok());
  const CaseRecord kept = RecordFor(other->front(), TableUnit::kSeconds);
  CHECK(kept.date.empty());
  CHECK(kept.extra.at("date") == "1.3.2024");
  REQUIRE(other->front().cautions.size() == 1);
  CHECK(other->front().cautions[0] ==
        "Can't set 'date' to '1.3.2024': give a date as YYYY-MM-DD. It is kept as extra.date");
}

TEST_CASE("A comma in a comma table that may stand for thousands is asked about", "[exchange]") {
  StepTableOptions options;
  options.unit = TableUnit::kSeconds;
  const auto result = CasesFromTables(Table("step,start\na,0\nb,\"1,234\"\n"), nullptr, nullptr, options, {});
  REQUIRE_FALSE(result.ok());
  CHECK(result.error().code == ErrorCode::kUnreadable);
  CHECK(result.error().message.find("'1,234' in line 3") != std::string::npos);
}

TEST_CASE("A table of which no step is left is refused with the line", "[exchange]") {
  const auto result =
      CasesFromTables(Table("step,start,end\na,50,10\n"), nullptr, nullptr, StepTableOptions{}, {});
  REQUIRE_FALSE(result.ok());
  CHECK(result.error().code == ErrorCode::kUnreadable);
  CHECK(result.error().message.find("line 2 ends before it starts") != std::string::npos);
  const auto rest =
      CasesFromTables(Table("step,start,end\na,50,10\nb,60,70\n"), nullptr, nullptr, StepTableOptions{}, {});
  REQUIRE(rest.ok());
  CHECK(rest->front().steps.size() == 1);
  CHECK(rest->front().cautions.size() == 1);
}

TEST_CASE("A quoted cell keeps its separators, and a guard against formulas is taken off", "[exchange]") {
  const TextTable table = Table("a;b\r\n\"x;\"\"y\"\"\nz\";'=1\r\n\r\n'k;-2");
  CHECK(table.rows[0][0] == "x;\"y\"\nz");
  CHECK(table.rows[0][1] == "=1");
  CHECK(table.rows[1][0] == "'k");
  CHECK(table.lines[1] == 5);
}

TEST_CASE("Rows of a table are kept as short as they are, and quotes within words stay", "[exchange]") {
  std::string header = "step,start";
  for (int i = 0; i < 998; ++i) header += ",c";
  const TextTable table = Table(header + "\na,1\n  \"b, c\" ,2\nd \"e\",3\n");
  CHECK(table.rows == std::vector<std::vector<std::string>>{{"a", "1"}, {"b, c", "2"}, {"d \"e\"", "3"}});
  CHECK(table.Cell(0, 1) == "1");
  CHECK(table.Cell(0, 999).empty());
}

}  // namespace afterscope
