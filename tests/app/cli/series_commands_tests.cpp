// SPDX-License-Identifier: Apache-2.0
#include "tests/app/cli/forked_run_support.hpp"
#include "tests/support/places.hpp"
#include "tests/support/run_program.hpp"
#include "tests/support/temporary_folder.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <sstream>

namespace afterscope {
namespace {

using Json = nlohmann::json;

// Runs the program in a folder, the index beside the cases; what it says on standard error goes to `errors`.
std::string RunBesideIndex(const TemporaryFolder& folder, const std::string& arguments, int wanted = 0,
                           const char* errors = "2>>errors") {
  int status = 0;
  std::string out = OutputOf(fmt::format("cd {} && XDG_DATA_HOME={}/data {} {} {}", folder.path(),
                                         folder.path(), places::kProgram, arguments, errors),
                             &status);
  CHECK(status == wanted);
  return out;
}

const Json* MeasureOf(const Json& series, const std::string& step) {
  for (const Json& measure : series["measures"])
    if (measure["name"] == "time.step_total" && measure["step"] == step) return &measure;
  return nullptr;
}

// Three semicolon separated files: videos with frames, rate, surgeon and experience; the first frame of each
// phase; names of the phases. Operation 269 is a published one, whose seconds of each phase are known; the
// others are invented round it.
void WriteTables(const TemporaryFolder& folder) {
  std::ofstream videos(folder / "videos.csv");
  videos << "VideoID;Frames;FPS;Surgeon;Experience\n269;14734;25;1;1\n";
  std::ofstream annotations(folder / "annotations.csv");
  annotations
      << "VideoID;FrameNo;Phase\n269;68;1\n269;1043;2\n269;1228;3\n269;2118;4\n269;3478;5\n269;6864;6\n"
         "269;7727;7\n269;8473;2\n269;8683;8\n269;9482;9\n269;14138;10\n269;14623;10\n";
  for (int i = 1; i <= 12; ++i) {
    const bool quick = i > 6;
    const int unit = (quick ? 250 : 500) + 10 * i;
    videos << fmt::format("{};{};25;{};{}\n", 300 + i, 11 * unit, quick ? 2 + i % 2 : (i % 2 ? 1 : 4),
                          quick ? 2 : 1);
    for (int phase = 1; phase <= 10; ++phase)
      annotations << fmt::format("{};{};{}\n", 300 + i, phase * unit, phase);
  }
  std::ofstream(folder / "phases.csv")
      << "Phase;Meaning\n1;Incision\n2;Viscous agent injection\n3;Rhexis\n4;Hydrodissection\n"
         "5;Phacoemulsification\n6;Irrigation and Aspiration\n7;Capsule polishing\n8;Lens implant "
         "setting-up\n"
         "9;Viscous agent removal\n10;Tonifying and Antibiotics\n";
}

}  // namespace

// A table of the shape of the published one (Schoeffmann et al. 2018, MMSys): the seconds of operation 269
// are those of its own annotations.
TEST_CASE("A published step table comes in as it is, with figures by experience", "[commands][series]") {
  const TemporaryFolder folder;
  WriteTables(folder);
  RunBesideIndex(
      folder,
      "import cases --steps annotations.csv --columns case=VideoID step=Phase start=FrameNo --case-table "
      "videos.csv "
      "--case-columns case=VideoID total=Frames rate=FPS operator=Surgeon --name-table phases.csv "
      "--name-columns "
      "step=Phase name=Meaning");
  const Json series =
      Json::parse(RunBesideIndex(folder, "series cases --by Experience --reference 1 --json -"));
  CHECK(series["cases"].size() == 13);
  CHECK(series["groups"] == Json({"1", "2"}));
  CHECK(series["operators"].size() == 4);
  const auto seconds_of_269 = [&](const std::string& step) {
    const Json* measure = MeasureOf(series, step);
    REQUIRE(measure);
    for (const Json& value : (*measure)["values"])
      if (series["cases"][value["case"].get<std::size_t>()]["code"] == "269")
        return value["value"].get<double>();
    return -1.0;
  };
  CHECK(seconds_of_269("Incision") == Approx(39.00));
  CHECK(seconds_of_269("Viscous agent injection") == Approx(7.40 + 8.40));
  CHECK(seconds_of_269("Phacoemulsification") == Approx(135.44));
  CHECK(seconds_of_269("Viscous agent removal") == Approx(186.24));
  CHECK(seconds_of_269("Tonifying and Antibiotics") == Approx(19.40 + 4.44));
  const Json* capsule = MeasureOf(series, "Capsule polishing");
  REQUIRE(capsule);
  const Json& groups = (*capsule)["groups"];
  REQUIRE(groups.size() == 2);
  CHECK(groups[0]["n"] == 7);
  CHECK(groups[1]["n"] == 6);
  // Of the second group: (250 + 10 i) / 25 s for i = 7 to 12, mean 13.8, standard deviation 0.4 sqrt(3.5).
  CHECK(groups[1]["mean"].get<double>() == Approx(13.8));
  CHECK(groups[1]["sd"].get<double>() == Approx(0.748331).epsilon(1e-5));
  CHECK((*capsule)["comparisons"][0]["difference"]["difference"]["value"].get<double>() < 0);
  CHECK((*capsule)["comparisons"][0]["rank_sum"]["p"].get<double>() < 0.05);
  CHECK((*capsule)["trend"].is_null());  // the table has no dates
  // The figures to set beside published ones, in seconds; as above, the median between 13.6 and 14.0.
  const std::string text = RunBesideIndex(folder, "series cases --by Experience --reference 1");
  CHECK(Has(text, "2: mean 13.8 ± 0.7\u00a0s, median 13.8\u00a0s, 6 cases"));
  // As the operations go, not by the alphabet.
  CHECK(text.find("\nIncision\n") < text.find("\nRhexis\n"));
  CHECK(text.find("\nRhexis\n") < text.find("\nCapsule polishing\n"));
  // Nobody said anything of complications.
  CHECK(series["complications_known"] == 0);
  const std::string own = RunBesideIndex(folder, "series cases --operator 4");
  CHECK(Has(own, "Cases: 3, without dates"));
  CHECK(Has(own, "too few"));
}

TEST_CASE("Series, report, tables and the wrong calls of series", "[commands][series]") {
  const TemporaryFolder folder;
  WriteTables(folder);
  // The columns' own names are enough.
  RunBesideIndex(folder,
                 "import cases --steps annotations.csv --case-table videos.csv --name-table phases.csv");
  RunBesideIndex(folder, "series cases --report r.pdf --csv v.csv --lines v.jsonl");
  CHECK(Has(OutputOf("pdftotext '" + folder / "r.pdf" + "' -"), "Series report"));
  CHECK(Has(BytesOf(folder / "v.csv"), "269,,1"));
  std::istringstream lines(BytesOf(folder / "v.jsonl"));
  std::string line;
  REQUIRE(std::getline(lines, line));
  CHECK(Json::parse(line)["unit"] == "s");
  RunBesideIndex(folder, "series cases --report r.html");
  CHECK(Has(BytesOf(folder / "r.html"), "<svg class=\"chart\""));
  CHECK_FALSE(Has(BytesOf(folder / "r.html"), "nan"));
  CHECK_FALSE(Has(BytesOf(folder / "r.html"), "series."));  // no text of the report is missing in the assets
  RunBesideIndex(folder, "series cases --report r.txt", 2);
  RunBesideIndex(folder, "series nowhere", 3);
  RunBesideIndex(folder, "series cases --operator nobody", 4);
  RunBesideIndex(folder, "series cases --from yesterday", 2);
  RunBesideIndex(folder, "series cases --time-limit Rhexis=soon", 2);
  RunBesideIndex(folder, "series cases --acceptable 0.5 --unacceptable 0.2", 2);
  RunBesideIndex(folder, "series cases --index /proc/nowhere/i.sqlite", 5);
  RunBesideIndex(folder, "series cases --progress p.pdf", 2);  // whose?
  RunBesideIndex(folder, "series cases --by date:foo", 2);
  // Two results in one place: neither is written.
  RunBesideIndex(folder, "series cases --json both.json --lines ./both.json", 2);
  RunBesideIndex(folder, "series cases --json - --csv -", 2);
  RunBesideIndex(folder, "measure cases/269 --json both.json --csv both.json", 2);
  CHECK_FALSE(std::ifstream(folder / "both.json").good());
  const Json limited =
      Json::parse(RunBesideIndex(folder, "series cases --operator 1 --time-limit rhexis=25 --json -"));
  CHECK(limited["cusums"].back()["failures"].size() == 4);
}

TEST_CASE("Scores by a sheet, and agreement between two reviewers", "[commands][score]") {
  const TemporaryFolder folder;
  std::ofstream(folder / "one.csv") << "step;start\nrhexis;0\nlens;1000\n";
  RunBesideIndex(
      folder, "import c --steps one.csv --columns step=step start=start --rate 25 --total 2000 --set code=c");
  RunBesideIndex(folder, "tag c --moment remark --at 1 --text Here");
  const std::string score = "score c --sheet whole_operation --review r1 ";
  CHECK(Has(RunBesideIndex(folder, score + "--item quiet_eye=3 --item economy=2 --remark economy=Slow"),
            "4 without a score"));
  RunBesideIndex(folder, score + "--item quiet_eye=9", 2);
  RunBesideIndex(folder, score + "--item nothing=1", 2);
  RunBesideIndex(folder, score + "--item quiet_eye=3 --item quiet_eye=4", 2);  // which of the two?
  RunBesideIndex(folder, score + "--remark gentle=Early", 2);
  RunBesideIndex(folder, score + "--moment economy=nothing", 2);
  RunBesideIndex(folder,
                 score + "--item looking_ahead=4 --item gentle=3 --item machine=na --item early_word=4");
  const Json scored = Json::parse(RunBesideIndex(folder, score + "--json -"));
  CHECK(scored["all"]["sum"] == 16);
  CHECK(scored["all"]["most"] == 20);
  CHECK(scored["all"]["percent"].get<double>() == Approx(80));
  RunBesideIndex(
      folder,
      "score c --sheet whole_operation --review r2 --reviewer R-2 --item quiet_eye=3 --item economy=4 "
      "--item gentle=2 --item looking_ahead=4");
  RunBesideIndex(folder, "tag c --review r2 --step rhexis --at 0");
  RunBesideIndex(folder, "tag c --review r2 --step lens --at 38");
  const Json agreed = Json::parse(RunBesideIndex(folder, "agree c --json -"));
  CHECK(agreed["timelines"][0]["boundaries"]["start_size_s"]["most"].get<double>() == Approx(2));
  CHECK(agreed["timelines"][0]["edit_score"] == 1);
  CHECK(agreed["scores"][0]["pairs"] == 4);
  CHECK(Has(RunBesideIndex(folder, "agree c"), "kappa by frame"));
  RunBesideIndex(folder, "agree c --review r1", 4);
  RunBesideIndex(folder, "score c --sheet whole_operation --review r2 --item machine=na --item early_word=4");
  const Json series = Json::parse(RunBesideIndex(folder, "series c --json -"));
  bool found = false;
  for (const Json& measure : series["measures"])
    if (measure["name"] == "score.percent") {
      found = true;
      CHECK(measure["values"][0]["value"].get<double>() ==
            Approx(85));  // of the review that stands last: 17 of 20
    }
  CHECK(found);
}

TEST_CASE("Neither a folder given twice nor the next version of a review is a second reviewer",
          "[commands][score]") {
  const TemporaryFolder folder;
  std::ofstream(folder / "one.csv") << "step;start\nrhexis;0\nlens;1000\n";
  RunBesideIndex(
      folder, "import c --steps one.csv --columns step=step start=start --rate 25 --total 2000 --set code=c");
  RunBesideIndex(folder, "agree c ./c", 2);
  RunBesideIndex(folder, "tag c --review r1 --sign --reviewer R-1");
  RunBesideIndex(folder, "tag c --review r1 --next-version");
  RunBesideIndex(folder, "agree c", 4);
  const Json named = Json::parse(RunBesideIndex(folder, "agree c --review r1 r1-v2 --json -"));
  CHECK(named["timelines"].size() == 1);
  RunBesideIndex(folder, "tag c --review r2 --reviewer R-2 --step rhexis --at 0");
  const Json newest = Json::parse(RunBesideIndex(folder, "agree c --json -"));
  CHECK(newest["timelines"].size() == 1);
  CHECK(newest.dump().find("R-1 (2)") == std::string::npos);
}

TEST_CASE("Reviews that are hidden from each other are not compared, nor formative with formal ones",
          "[commands][score]") {
  const TemporaryFolder folder;
  std::ofstream(folder / "one.csv") << "step;start\nrhexis;0\nlens;1000\n";
  RunBesideIndex(
      folder, "import c --steps one.csv --columns step=step start=start --rate 25 --total 2000 --set code=c");
  RunBesideIndex(folder, "tag c --review own --self --reviewer T-1 --step rhexis --at 0");
  const auto told = [&](const std::string& arguments, int wanted) {
    return RunBesideIndex(folder, "agree c " + arguments, wanted, "2>&1");
  };
  const std::string hidden = "are hidden from each other until both are signed";
  CHECK(Has(told("", 4), hidden));
  RunBesideIndex(folder, "tag c --review own --sign --reviewer T-1");
  CHECK(Has(told("", 4), hidden));
  RunBesideIndex(folder, "tag c --review r1 --sign --reviewer R-1");
  CHECK(Has(told("", 0), "kappa by frame"));

  for (const char* formal : {"f1", "f2"})
    RunBesideIndex(
        folder, fmt::format("tag c --review {0} --kind formal --reviewer {0} --step rhexis --at 0", formal));
  const std::string without = told("", 0);
  CHECK(Has(without, "2 formal reviews are left out: kinds are never mixed, and --kind formal takes formal"));
  CHECK_FALSE(Has(without, "f1"));
  CHECK(Has(told("--kind formal", 4), hidden));
  for (const char* formal : {"f1", "f2"})
    RunBesideIndex(folder, fmt::format("tag c --review {0} --sign --reviewer {0}", formal));
  const std::string of_formal = told("--kind formal", 0);
  CHECK(Has(of_formal, "f1 and f2"));
  CHECK(Has(of_formal, "2 formative reviews are left out"));
}

TEST_CASE("A follow-up that a narration spoke of is planned when its draft is accepted",
          "[commands][narration]") {
  const TemporaryFolder folder;
  std::ofstream(folder / "one.csv") << "step;start\nrhexis;0\nlens;1000\n";
  std::ofstream(folder / "talk.vtt")
      << "WEBVTT\n\n00:01.000 --> 00:05.000\nThe capsule may need a laser after two to three months.\n"
         "\n00:06.000 --> 00:10.000\nHe may need a look after a week.\n";
  for (const char* made : {"dated --set date=2026-01-01", "undated"}) {
    RunBesideIndex(folder, fmt::format("import {} --steps one.csv --columns step=step start=start --rate 25 "
                                       "--total 2000 --set step_list=phacoemulsification",
                                       made));
  }
  for (const char* name : {"dated", "undated"})
    RunBesideIndex(folder, fmt::format("import {} --narration talk.vtt", name));
  CHECK_FALSE(Has(RunBesideIndex(folder, "tag dated --accept all", 0, "2>&1"), "no date"));
  const Json due = Json::parse(RunBesideIndex(folder, "due dated --on 2026-03-15 --all --json -"));
  REQUIRE(due.size() == 2);
  CHECK(due[0]["from"] == "2026-01-08");  // the earliest first
  CHECK(due[1]["from"] == "2026-03-02");  // 60 and 90 days after the first of January
  CHECK(due[1]["to"] == "2026-04-01");
  CHECK(due[1]["state"] == "due");
  CHECK(due[1]["key"] == "narration");

  const std::string told = RunBesideIndex(folder, "tag undated --accept all", 0, "2>&1");
  CHECK(Has(told, "is a remark alone ('The capsule may need a laser after two to three months.')"));
  CHECK(Json::parse(RunBesideIndex(folder, "due undated --all --json -")).empty());
  CHECK(Has(RunBesideIndex(folder, "tag undated --json"), "may need a laser"));
}

TEST_CASE("Logbook, outcomes, follow-ups, progress and portfolio of one person", "[commands][series]") {
  const TemporaryFolder folder;
  std::ofstream(folder / "t.csv") << "case;step;start\na;rhexis;0\na;lens;1000\nb;rhexis;0\nb;lens;900\n";
  RunBesideIndex(
      folder,
      "import cases --steps t.csv --columns case=case step=step start=start --rate 25 --total 2000 --set "
      "operator_code=T-1 --set supervisor_code=S-1 --set date=2024-01-02");
  RunBesideIndex(folder, "tag cases/b --set date=2024-01-09");
  RunBesideIndex(folder, "tag cases/b --take-over 10");
  const std::string logbook = RunBesideIndex(folder, "series cases --operator T-1 --logbook -");
  CHECK(Has(logbook, "2024-01-02,a,,unknown,performed,T-1,S-1,,100"));
  CHECK(Has(logbook, "part performed"));
  CHECK(Has(logbook, "not known"));
  // Who only supervised has a logbook and a portfolio too, and no series.
  RunBesideIndex(folder, "tag cases/b --undo");
  CHECK(Has(RunBesideIndex(folder, "series cases --operator S-1 --logbook -"), "supervised"));
  RunBesideIndex(folder, "series cases --operator S-1 --portfolio s.html --logbook s.csv");
  CHECK(Has(BytesOf(folder / "s.html"),
            "2024</td><td class=\"n\">0</td><td class=\"n\">0</td><td "
            "class=\"n\">0</td><td class=\"n\">2</td>"));
  CHECK(Has(BytesOf(folder / "s.html"), "S-1 operated in no reviewed case"));
  CHECK_FALSE(Has(BytesOf(folder / "s.html"), "series."));
  RunBesideIndex(folder, "series cases --operator S-1 --report s.pdf", 4);
  RunBesideIndex(folder, "series cases --operator X-1 --portfolio x.html", 4);
  RunBesideIndex(folder, "tag cases/b --redo");
  CHECK(RunBesideIndex(folder, "outcomes cases") == "No outcome has been entered for these cases.\n");
  CHECK(RunBesideIndex(folder, "due cases --all") == "No case has a follow-up.\n");
  CHECK(RunBesideIndex(folder, "clip cases/a --takes") == "Nothing has been spoken for this case yet.\n");
  CHECK(RunBesideIndex(folder, "forget --overdue cases") ==
        "Of no case that can be read has the date to delete by passed.\n");
  CHECK(RunBesideIndex(folder, "find cases --words nothing") == "No stretch of these cases is like that.\n");
  CHECK(RunBesideIndex(folder, "find cases --words nothing --json -") == "[]\n");
  std::ofstream(folder / "o.csv")
      << "case,day1_pressure_mmhg,acuity_logmar,refraction_d,target_d,hair\na,18,0.1,-0.75,-0.5,x\n"
         "b,high,0.0,-1.50,-0.5,y\nz,1,1,1,1,1\n";
  CHECK(Has(RunBesideIndex(folder, "outcomes cases --table o.csv"), "2 of 2 cases changed"));
  CHECK(Has(RunBesideIndex(folder, "outcomes cases"), "a\tacuity_logmar\t0.1"));
  const auto outcomes = nlohmann::json::parse(RunBesideIndex(folder, "outcomes cases --json -"));
  REQUIRE(outcomes.size() == 2);
  CHECK(outcomes[0]["case"] == "a");
  CHECK(outcomes[0]["outcomes"]["acuity_logmar"] == "0.1");
  const std::string errors = BytesOf(folder / "errors");
  CHECK(Has(errors, "hair"));
  CHECK(Has(errors, "'high' is no number"));
  CHECK(Has(errors, "no case 'z'"));
  // A table of people: every case of theirs gets what its line says.
  std::ofstream(folder / "people.csv") << "operator,course\nT-1,2024-01-05\nT-9,2024-01-05\n";
  CHECK(Has(RunBesideIndex(folder, "outcomes cases --table people.csv"), "2 of 2 cases changed"));
  CHECK(Has(RunBesideIndex(folder, "outcomes cases --table people.csv"), "0 of 2 cases changed"));
  CHECK(Has(BytesOf(folder / "errors"), "there is no case of operator 'T-9'"));
  const Json course = Json::parse(RunBesideIndex(folder, "series cases --by course --json -"));
  CHECK(course["groups"] == Json({"before the course", "since the course"}));
  CHECK(course["cases"][0]["group"] == "before the course");  // a, on the 2nd
  CHECK(course["cases"][1]["group"] == "since the course");   // b, on the 9th
  // A case of several lines is one; what is not taken at all is a fault of the table.
  std::ofstream(folder / "twice.csv") << "case;acuity_logmar\na;0,2\na;0,3\n";
  CHECK(Has(RunBesideIndex(folder, "outcomes cases --table twice.csv"), "1 of 1 cases changed"));
  CHECK(Has(BytesOf(folder / "errors"), "since line 3 says '0.3'"));
  std::ofstream(folder / "wrong.csv") << "case;acuity_logmar\na;55\n";
  RunBesideIndex(folder, "outcomes cases --table wrong.csv", 3);
  CHECK(Has(BytesOf(folder / "errors"), "Nothing could be taken from 'wrong.csv'"));
  for (const char* field : {"course=2024-13-45", "risk=7", "risk=-1", "outcome.acuity_logmar=55",
                            "follow_up.first_day=soon", "follow_up_done.first_day=soon"})
    RunBesideIndex(folder, fmt::format("tag cases/a --set extra.{}", field), 2);
  std::ofstream(folder / "risk.json")
      << R"({"edits":[{"set_case_field":{"field":"extra.risk","text":"7"}}]})";
  RunBesideIndex(folder, "tag cases/a --edits risk.json", 2);
  RunBesideIndex(folder, "tag cases/a --set extra.own=7 --set extra.risk=0.07");
  std::ofstream(folder / "nobody.csv") << "who,course\nT-1,2024-01-05\n";
  RunBesideIndex(folder, "outcomes cases --table nobody.csv", 2);
  RunBesideIndex(folder, "due cases/a --plan posterior_capsule");
  RunBesideIndex(folder, "due cases/a --plan nothing", 2);
  CHECK(RunBesideIndex(folder, "due cases --on 2024-02-01") == "Nothing is due on 2024-02-01.\n");
  CHECK(RunBesideIndex(folder, "due cases --on 2024-02-01 --json -") == "[]\n");
  CHECK(Has(RunBesideIndex(folder, "due cases --on 2024-03-10"), "a\tdue\t2024-03-02 to 2024-04-01"));
  CHECK(Has(RunBesideIndex(folder, "due cases --on 2024-05-01"), "overdue"));
  RunBesideIndex(folder, "due cases/a --done posterior_capsule --on 2024-01-01", 2);
  CHECK(Has(BytesOf(folder / "errors"), "the operation was on 2024-01-02"));
  RunBesideIndex(folder, "due cases/a --done posterior_capsule --on 9999-01-01", 2);
  RunBesideIndex(folder, "due cases/a --done posterior_capsul --on 2024-03-12", 2);
  CHECK(Has(BytesOf(folder / "errors"), "neither planned"));
  RunBesideIndex(folder, "due cases/a --done posterior_capsule --on 2024-03-12");
  CHECK(RunBesideIndex(folder, "due cases --on 2024-05-01") == "Nothing is due on 2024-05-01.\n");
  CHECK(Has(RunBesideIndex(folder, "due cases --on 2024-05-01 --all"), "2024-03-12"));
  RunBesideIndex(folder, "tag cases/a --drill Slowly --drill-date 2024-02-01");
  RunBesideIndex(folder, "tag cases/b --earlier-goal met");
  RunBesideIndex(folder, "series cases --operator T-1 --progress g.html");
  CHECK(Has(BytesOf(folder / "g.html"), "1 agreed, 1 met."));
  RunBesideIndex(folder, "tag cases/a --moment remark --at 1 --text Calm");
  const std::string listed = RunBesideIndex(folder, "tag cases/a --list");
  const std::size_t kind = listed.find("\tremark\t");
  REQUIRE(kind != std::string::npos);
  const std::size_t line = listed.rfind('\n', kind) + 1;
  RunBesideIndex(folder, "score cases/a --sheet whole_operation --item quiet_eye=4 --moment quiet_eye=" +
                             listed.substr(line, kind - line));
  RunBesideIndex(folder, "tag cases/a --drill ''");
  RunBesideIndex(folder, "series cases --operator T-1 --progress p.html --portfolio f.pdf");
  CHECK(Has(BytesOf(folder / "p.html"), "No goal has been agreed yet"));
  CHECK(Has(BytesOf(folder / "p.html"), "The eye is kept quiet: throughout"));  // evidence of a best score
  CHECK(Has(OutputOf("pdftotext '" + folder / "f.pdf" + "' -"), "Portfolio report"));
  RunBesideIndex(folder, "series cases --operator T-1 --portfolio f.html");
  const std::string portfolio = BytesOf(folder / "f.html");
  // -0.25 and -1.00 off the target: one of two within half a dioptre, both within one.
  CHECK(Has(portfolio, "Refraction less target, dioptres</td><td class=\"n\">2"));
  CHECK(Has(portfolio, "Within 0.5 dioptre of the target</td><td class=\"n\">1 of 2"));
  CHECK(Has(portfolio, "Within 1 dioptre of the target</td><td class=\"n\">2 of 2"));
  for (const std::string& page : {portfolio, BytesOf(folder / "p.html")}) CHECK_FALSE(Has(page, "series."));
}

}  // namespace afterscope
