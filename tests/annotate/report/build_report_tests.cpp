// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/build_report.hpp"
#include "annotate/report/html_report.hpp"
#include "annotate/report/json_report.hpp"
#include "tests/annotate/report/report_support.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>

using namespace afterscope;

namespace {

const StepRow& RowOf(const ReportModel& model, const std::string& key) {
  const auto found = std::find_if(model.steps.begin(), model.steps.end(),
                                  [&](const StepRow& row) { return row.key == key; });
  REQUIRE(found != model.steps.end());
  return *found;
}

bool Mentions(const std::vector<std::string>& lines, const std::string& words) {
  return std::any_of(lines.begin(), lines.end(),
                     [&](const std::string& line) { return line.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("The own share counts only the operator's visits") {
  const ReportModel model = ModelOf(FullCase());
  REQUIRE(model.share);
  // 95 s of fragments and 100 s of cortex are the supervisor's, by hand from the visits of the invented case.
  CHECK(model.share->total_seconds - model.share->own_seconds == Approx(195));
  CHECK(model.share->take_overs == 1);
}

TEST_CASE("Step rows stand in order of first start, with visits and earlier cases") {
  const ReportModel model = ModelOf(FullCase());
  REQUIRE(model.steps.size() == 13);
  CHECK(model.steps.front().key == "side_port");
  const StepRow& cortex = RowOf(model, "cortex");
  CHECK(cortex.own_visits == 1);  // begun by the supervisor, taken over from him without a break
  CHECK(cortex.starts.size() == 1);
  CHECK(cortex.own_seconds == Approx(51));
  CHECK(cortex.others_seconds == Approx(100));
  CHECK(cortex.first_start_seconds == Approx(660));
  CHECK(cortex.starts.front().ref == InventedFrame(660));
  REQUIRE(cortex.earlier);
  // Earlier times are 51 s times 0.93, 1.06, 1.19, 1.32, 1.45: the middle one is 1.19.
  CHECK(cortex.earlier->cases == 5);
  CHECK(cortex.earlier->median_seconds == Approx(51 * 1.19));
  CHECK(cortex.earlier->low_seconds == Approx(51 * 0.93));
  CHECK(cortex.earlier->high_seconds == Approx(51 * 1.45));
  CHECK(Mentions(model.step_notes, "5 earlier cases show a range, not a trend"));
}

TEST_CASE("The median of an even number of earlier cases lies between the middle two") {
  InventedCase made = FullCase();
  made.earlier.pop_back();  // 0.93, 1.06, 1.19, 1.32
  const ReportModel model = ModelOf(made);
  CHECK(RowOf(model, "cortex").earlier->median_seconds == Approx(51 * 1.125));
}

TEST_CASE("Earlier times of another operator do not count") {
  InventedCase made = FullCase();
  for (EarlierCase& earlier : made.earlier)
    for (Finding& finding : earlier.findings) finding.operator_code = "T8";
  const ReportModel model = ModelOf(made);
  CHECK(model.earlier_cases == 0);
  CHECK_FALSE(RowOf(model, "cortex").earlier);
}

TEST_CASE("A goal is followed up in the next report, until something was said of it") {
  InventedCase made = FullCase();
  for (EarlierCase& earlier : made.earlier) earlier.words = {};
  CHECK_FALSE(ModelOf(made).earlier_goal);
  made.earlier[1].words.drill = "Ten tears";
  made.earlier[3].words.drill = "Hold the flap low";
  const auto goal = ModelOf(made).earlier_goal;
  REQUIRE(goal);
  CHECK(goal->drill == "Hold the flap low");  // the newest
  CHECK(goal->case_code == made.earlier[3].code);
  CHECK(goal->outcome == GoalOutcome::kNotSaid);
  made.review.assessment.earlier_goal = GoalOutcome::kPartlyMet;
  CHECK(ModelOf(made).earlier_goal->outcome == GoalOutcome::kPartlyMet);
  made.review.assessment.earlier_goal = GoalOutcome::kNotSaid;
  made.earlier[4].words.earlier_goal = GoalOutcome::kMet;  // said since, and no new one set
  CHECK_FALSE(ModelOf(made).earlier_goal);
}

TEST_CASE("Scores are shown by their sheet, without it as they lie") {
  InventedCase made = FullCase();
  made.review.scores = {{{"own", "flow"}, 3, "calm", {made.review.moments.front().id}},
                        {{"own", "wound"}, std::nullopt, "", {}}};
  ReportModel model = ModelOf(made);
  REQUIRE(model.scores.size() == 1);
  CHECK(model.scores[0].title == "own");
  CHECK(model.scores[0].rows.at(0).value == "3");
  CHECK(model.scores[0].rows.at(0).moments.size() == 1);
  ScoreSheet sheet;
  sheet.id = "own";
  sheet.name = "Our own";
  sheet.groups = {{"hands", "Hands"}};
  sheet.items = {
      {"wound", "Wound", "", "", {{1, "", ""}, {5, "", ""}}, 1, true, false},
      {"flow", "Flow", "hands", "", {{1, "", ""}, {3, "smooth", ""}, {5, "", ""}}, 1, true, false}};
  const ReportInput input{made.record, made.review, made.steps, {}, {}, ShippedWords(), {},
                          {},          "0.0.0",     "",         {}, 60, {sheet}};
  model = *BuildReport(input, {}, {});
  REQUIRE(model.scores.size() == 1);
  CHECK(model.scores[0].title == "Our own");
  CHECK(model.scores[0].rows.at(0).value == "not applicable");
  CHECK(model.scores[0].rows.at(1).group == "Hands");
  CHECK(model.scores[0].rows.at(1).value.starts_with("3 of 5"));
  CHECK(model.scores[0].sum.starts_with("3 of 5 (60"));
}

TEST_CASE("Each map of a tip is a picture of the eye, under its step's name, covers over it") {
  const InventedCase made = FullCase();
  TipMap map;
  map.trail = TrailId{"t1"};
  map.step = "rhexis";
  map.at = InventedFrame(190);
  map.seconds = 12.5;
  map.regions = {{0.5, {{{300, 200}, {340, 200}, {320, 240}}}}};
  map.limbus = {{120, 240}, {320, 40}, {520, 240}, {320, 440}};
  TipMap other = map;
  other.trail = TrailId{"none"};
  const ReportInput input{made.record, made.review, made.steps, {}, {}, ShippedWords(), GreyPicture, {},
                          "0.0.0",     "",          {},         60, {}, {map, other}};
  const ReportModel model = *BuildReport(input, {}, {});
  REQUIRE(model.trails.size() == 1);
  REQUIRE(model.trails[0].maps.size() == 1);
  const ReportPicture& picture = model.pictures[model.trails[0].maps[0]];
  CHECK(picture.caption == "Rhexis, 12.5 s of the tip seen");
  REQUIRE(picture.part);
  CHECK(picture.part->width == Approx(480));  // 1.2 times the eye, as far as there is picture
  REQUIRE_FALSE(picture.shapes.empty());
  CHECK(std::holds_alternative<AreaShape>(picture.shapes.front()));
  CHECK(MakeHtml(model).find("Rhexis, 12.5 s of the tip seen") != std::string::npos);
}

TEST_CASE("Pupil and eye over time are shown with their limits, over the case or the stretch followed") {
  InventedCase made = FullCase();
  const ReportModel model = ModelOf(made);
  REQUIRE(model.eye_over_time);
  REQUIRE(model.eye_over_time->charts.size() == 2);
  CHECK(model.eye_over_time->start_seconds == 0);
  CHECK(model.eye_over_time->end_seconds == 1200);
  // By hand: from 7 to 5 mm evenly, 5.98 in the middle without the gaps; 8 % of it 0.48; with 0.15: 0.50.
  CHECK(model.eye_over_time->charts[0].limits.find("0.50\u00A0mm either way") != std::string::npos);
  CHECK(model.eye_over_time->charts[0].limits.find("0.48\u00A0mm") != std::string::npos);
  const std::string html = MakeHtml(model);
  CHECK(html.find("<svg class=\"chart\"") != std::string::npos);
  CHECK(html.find("the plane of the front capsule") != std::string::npos);
  const auto json = nlohmann::json::parse(MakeJson(model));
  REQUIRE(json.at("eye_over_time").size() == 2);
  CHECK(json.at("eye_over_time").at(0).at("unit") == "mm");
  CHECK(json.at("eye_over_time").at(0).at("runs").size() == 3);
  CHECK(json.at("eye_over_time").at(0).at("runs").at(1).at(0).at(0) == 332);

  made.eye_over_time.pupil.runs.clear();
  made.eye_over_time.off_centre.runs = {{{100, 1}, {100.2, 1}, {130, 1}}};
  const ReportModel little = ModelOf(made);
  REQUIRE(little.eye_over_time);
  CHECK(little.eye_over_time->charts.size() == 1);
  CHECK(little.eye_over_time->start_seconds < 100);
  CHECK(little.eye_over_time->end_seconds > 130);
  CHECK(little.eye_over_time->end_seconds < 140);
  CHECK(std::count(little.eye_over_time->notes.begin(), little.eye_over_time->notes.end(),
                   "The eye was followed from 1:40.00 to 2:10.00 only; the case lasts 20:00.0.") == 1);
  made.eye_over_time = {};
  CHECK_FALSE(ModelOf(made).eye_over_time);
}

TEST_CASE("A check without a state is not reviewed, and so is told") {
  const ReportModel model = ModelOf(FullCase());
  REQUIRE(model.checks.size() == 5);
  CHECK(model.checks[0].state == CheckState::kSeenDone);
  CHECK(model.checks[1].state == CheckState::kSeenNotDone);
  CHECK(model.checks[2].state == CheckState::kNotReviewed);
  CHECK(model.checks[2].state_name == "not reviewed");
  CHECK(model.checks[4].state == CheckState::kNotVisible);
  CHECK(Mentions(model.not_reviewed, "Capsule intact, Lens in the bag"));
  CHECK_FALSE(Mentions(model.not_reviewed, "Nucleus rotates"));
}

TEST_CASE("Three steps make a report that says what was not looked at") {
  const ReportModel model = ModelOf(ThreeSteps());
  CHECK(model.steps.size() == 3);
  CHECK(model.rhexis.empty());
  CHECK(Mentions(model.not_reviewed, "Side port") == false);
  CHECK(Mentions(model.not_reviewed, "Nucleus division"));
  CHECK(Mentions(model.not_reviewed, "no outline is marked"));
  CHECK(Mentions(model.not_reviewed, "Stain") == false);  // an add-on
  CHECK(Mentions(model.cautions, "No recording is at hand"));
}

TEST_CASE("An empty review makes a report") {
  InventedCase made;
  const ReportModel model = ModelOf(made);
  CHECK(model.steps.empty());
  CHECK_FALSE(model.share);
  CHECK(Mentions(model.not_reviewed, "Steps: none is tagged"));
}

TEST_CASE("Findings that can't be computed stay, with their reason") {
  const ReportModel model = ModelOf(FullCase(), true);
  REQUIRE(model.rhexis.size() == 1);
  const auto& findings = model.rhexis.front().findings;
  const auto plan = std::find_if(findings.begin(), findings.end(), [](const ReportFinding& f) {
    return f.finding.name == "rhexis.plan_difference";
  });
  REQUIRE(plan != findings.end());
  CHECK_FALSE(plan->finding.measured.estimate);
  CHECK(plan->finding.measured.cautions.front() == "No planned diameter is stated.");
}

TEST_CASE("Pictures carry their frame, and a missing one says why") {
  InventedCase made = FullCase();
  ReportInput input{made.record, made.review, made.steps, made.findings, {}, ShippedWords(), {}, {}, "",
                    "",          {},          60};
  input.frames = [](FrameRef frame) -> Result<Picture> {
    if (frame == InventedFrame(402)) return Error{ErrorCode::kUnreadable, "The frame can't be decoded."};
    return GreyPicture(frame);
  };
  const auto model = BuildReport(input, {}, {});
  REQUIRE(model.ok());
  REQUIRE(model->rhexis.front().picture);
  CHECK(model->pictures[*model->rhexis.front().picture].frame.ref == InventedFrame(213.4));
  const auto prolapse = std::find_if(model->moments.begin(), model->moments.end(), [](const MomentRow& row) {
    return row.kind == MomentKind::kComplication;
  });
  REQUIRE(prolapse != model->moments.end());
  CHECK(model->pictures[*prolapse->picture].image.empty());
  CHECK(model->pictures[*prolapse->picture].missing.find("can't be decoded") != std::string::npos);
}

TEST_CASE("Building a report can be stopped") {
  InventedCase made = FullCase();
  const ReportInput input{made.record, made.review, made.steps, {}, {}, ShippedWords(),
                          {},          {},          "",         "", {}, 60};
  const auto model = BuildReport(input, {}, [] { return true; });
  REQUIRE_FALSE(model.ok());
  CHECK(model.error().code == ErrorCode::kStopped);
}
