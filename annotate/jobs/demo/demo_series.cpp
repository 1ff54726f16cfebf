// SPDX-License-Identifier: Apache-2.0
#include "annotate/jobs/demo/demo_series.hpp"

#include "annotate/case/text.hpp"
#include "annotate/jobs/phantom/phantom_case.hpp"
#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostBytes = 4 << 20;

// What the whole series shares.
struct Common {
  std::string operation;
  std::string step_list;
};

void ReadPicture(const Json& json, std::string& problem, phantom::Scene& scene) {
  JsonReader reader(json, "picture", problem);
  double limbus_px = 300;
  reader.Read("width", scene.width);
  reader.Read("height", scene.height);
  reader.Read("limbus_px", limbus_px);
  reader.Read("pixel_aspect", scene.pixel_aspect);
  if (scene.width < 64 || scene.height < 64 || scene.width > 4096 || scene.height > 4096 || limbus_px < 50 ||
      !scene.pixel_aspect.valid())
    reader.Fail("width", "a size out of range");
  scene.px_per_mm = limbus_px / scene.eye.corneal_diameter_mm;
  scene.matrix = scene.height >= 720 ? ColorMatrix::kBt709 : ColorMatrix::kBt601;
}

void ReadRecording(const Json& json, std::string& problem, DemoCase& demo) {
  JsonReader reader(json, "recording", problem);
  std::string container = "mp4";
  reader.Read("container", container);
  reader.Read("rate", demo.format.frame_rate);
  reader.Read("variable", demo.format.variable_rate);
  reader.Read("files", demo.files);
  if (!demo.format.frame_rate.valid() || demo.files < 1 || demo.files > 9)
    reader.Fail("rate", "a number out of range");
  if (container != "ts") return;
  demo.format.codec = WrittenVideo::kMpeg2;
  demo.format.container = WrittenContainer::kMpegTs;
  demo.scene.interlaced = true;
  demo.scene.field_seconds = 0.5 / demo.format.frame_rate.value();
}

phantom::IrisColour IrisOf(const std::string& word) {
  return word == "brown"       ? phantom::IrisColour::kBrown
         : word == "blue-grey" ? phantom::IrisColour::kBlueGrey
                               : phantom::IrisColour::kGreenHazel;
}

double Rounded(double value) { return std::round(value * 100) / 100; }

// The eye and its operation: drawn by the seed, then what the file says.
void ReadScene(JsonReader& reader, std::string& problem, DemoCase& demo) {
  std::int64_t seed = 1;
  std::string eye = "right", seat = "superior", iris, speculum;
  double rhexis_mm = 5.2;
  reader.Read("seed", seed);
  phantom::Scene& scene = demo.scene;
  scene = phantom::RandomScene(static_cast<std::uint64_t>(seed), phantom::Difficulty::kUsual);
  scene.disturbance.zoom_change = 0;
  reader.Read("eye", eye);
  reader.Read("seat", seat);
  reader.Read("iris", iris);
  reader.Read("speculum", speculum);
  reader.Read("rhexis_mm", rhexis_mm);
  reader.Read("skill", scene.skill);
  reader.Read("seconds", scene.seconds);
  reader.Read("pupil_mm", scene.pupil_mm);
  reader.Read("hardness", scene.hardness);
  reader.Read("surge", scene.surge);
  reader.Read("zoom_change", scene.disturbance.zoom_change);
  reader.Read("lid_cover_mm", scene.disturbance.lid_cover_mm);
  if (!(scene.seconds >= 40 && scene.seconds <= 600)) reader.Fail("seconds", "a time out of range");
  // What the case record states of the eye is exactly true.
  scene.eye.corneal_diameter_mm = Rounded(scene.eye.corneal_diameter_mm);
  scene.eye.corneal_power_d = Rounded(scene.eye.corneal_power_d);
  scene.eye.chamber_depth_mm = Rounded(scene.eye.chamber_depth_mm);
  scene.eye.right_eye = eye == "right";
  scene.eye.seat_deg = seat != "temporal" ? 90 : scene.eye.right_eye ? 180 : 0;
  scene.iris = IrisOf(iris);
  scene.speculum = speculum == "wire" ? phantom::Speculum::kWire : phantom::Speculum::kBlade;
  scene.rhexis = phantom::HandMadeRhexis(static_cast<std::uint64_t>(seed), rhexis_mm, scene.skill);
  reader.ReadEach("take_overs", [&](const Json& item) {
    JsonReader inner(item, "take-over", problem);
    phantom::TakeOver take_over;
    inner.Read("step", take_over.step);
    inner.Read("from_share", take_over.from_share);
    scene.take_overs.push_back(std::move(take_over));
  });
  if (const Json* picture = reader.Member("picture")) ReadPicture(*picture, problem, scene);
  if (const Json* recording = reader.Member("recording")) ReadRecording(*recording, problem, demo);
}

void ReadRecord(JsonReader& reader, const Common& common, DemoCase& demo) {
  CaseRecord& record = demo.record;
  int number = 0;
  reader.Read("code", record.code);
  reader.Read("date", record.date);
  reader.Read("operator", record.operator_code);
  reader.Read("role", record.operator_role);
  reader.Read("supervisor", record.supervisor_code);
  reader.Read("supervision", record.supervision_level);
  reader.Read("difficulty", record.difficulty);
  reader.Read("number", number);
  record.operation = common.operation;
  record.step_list = common.step_list;
  StateEye(demo.scene.eye, record);
  record.planned_rhexis_mm = 5.2;
  record.consent = {{"review", true, false, ""}, {"local teaching", true, false, ""}};
  record.extra = {{"invented", "yes: a phantom, no person"},
                  {"shortened", "yes"},
                  {"case_number", std::to_string(number)}};
}

void ReadMoments(JsonReader& reader, const char* list, MomentKind kind, std::string& problem,
                 DemoCase& demo) {
  reader.ReadEach(list, [&](const Json& item) {
    JsonReader inner(item, "moment", problem);
    DemoMoment moment;
    moment.moment.kind = kind;
    inner.Read("kind", moment.moment.kind);
    inner.Read("step", moment.step);
    inner.Read("share", moment.share);
    inner.Read("key", moment.moment.key);
    inner.Read("text", moment.moment.text);
    inner.Read("fields", moment.moment.fields);
    demo.moments.push_back(std::move(moment));
  });
}

void ReadChecks(JsonReader& reader, std::string& problem, DemoCase& demo) {
  std::map<std::string, std::string> words;
  reader.Read("checks", words);
  for (const auto& [key, word] : words) {
    const auto state = FromWord<CheckState>(word);
    if (state)
      demo.checks[key] = *state;
    else if (problem.empty())
      problem = fmt::format("the check {} has a state that is not known", key);
  }
}

DemoCase ReadCase(const Json& json, const Common& common, std::string& problem) {
  DemoCase demo;
  JsonReader reader(json, "case", problem);
  ReadScene(reader, problem, demo);
  ReadRecord(reader, common, demo);
  ReadMoments(reader, "moments", MomentKind::kRemark, problem, demo);
  ReadMoments(reader, "settings", MomentKind::kSettings, problem, demo);
  ReadChecks(reader, problem, demo);
  if (const Json* said = reader.Member("assessment")) {
    JsonReader inner(*said, "assessment", problem);
    inner.Read("own_view", demo.assessment.own_view);
    inner.Read("strengths", demo.assessment.strengths);
    inner.Read("change", demo.assessment.change);
    inner.Read("drill", demo.assessment.drill);
    inner.Read("drill_date", demo.assessment.drill_date);
    inner.Read("earlier_goal", demo.assessment.earlier_goal);
  }
  std::map<std::string, std::string> scores;
  reader.Read("scores", scores);
  for (const auto& [item, text] : scores)
    if (const auto value = NumberFrom(text)) demo.scores[item] = *value;
  return demo;
}

DemoTables ReadTables(const Json& json, std::string& problem) {
  DemoTables tables;
  JsonReader reader(json, "tables", problem);
  reader.Read("about", tables.about);
  reader.Read("count", tables.count);
  reader.Read("operator", tables.operator_code);
  reader.Read("supervisor", tables.supervisor_code);
  reader.Read("first_date", tables.first_date);
  reader.Read("days_between", tables.days_between);
  reader.Read("seed", tables.seed);
  reader.Read("spread", tables.spread);
  reader.Read("rate", tables.rate);
  reader.Read("lead_s", tables.lead_s);
  reader.Read("gap_s", tables.gap_s);
  reader.ReadEach("skip_numbers", [&](const Json& item) {
    if (item.is_number_integer()) tables.skip_numbers.push_back(item.get<int>());
  });
  reader.Read("difficulties", tables.difficulties);
  reader.Read("difficult_share", tables.difficult_share);
  reader.Read("risk", tables.risk);
  reader.Read("difficult_risk", tables.difficult_risk);
  reader.Read("complication", tables.complication);
  reader.Read("complication_step", tables.complication_step);
  reader.Read("follow_up", tables.follow_up);
  reader.Read("follow_ups", tables.follow_ups);
  reader.Read("scored_twice", tables.scored_twice);
  reader.ReadEach("steps", [&](const Json& item) {
    JsonReader inner(item, "step of the tables", problem);
    DemoTableStep step;
    inner.Read("step", step.key);
    inner.Read("first_s", step.first_s);
    inner.Read("exponent", step.exponent);
    tables.steps.push_back(std::move(step));
  });
  if (tables.count < 0 || tables.count > 1000 || !tables.rate.valid())
    reader.Fail("count", "a number out of range");
  return tables;
}

}  // namespace

Result<DemoSeries> ReadDemoSeries(const std::string& path, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostBytes));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, path));
  DemoSeries series;
  Common common;
  std::string problem;
  JsonReader reader(json, "series", problem);
  reader.Read("about", series.about);
  reader.Read("reviewer", series.reviewer);
  reader.Read("second_reviewer", series.second_reviewer);
  reader.Read("score_sheet", series.score_sheet);
  reader.Read("operation", common.operation);
  reader.Read("step_list", common.step_list);
  reader.ReadEach("cases",
                  [&](const Json& item) { series.cases.push_back(ReadCase(item, common, problem)); });
  if (const Json* tables = reader.Member("tables")) series.tables = ReadTables(*tables, problem);
  for (const DemoCase& demo : series.cases)
    if (demo.record.code.empty() && problem.empty()) problem = "a case has no code";
  if (!problem.empty())
    return Error{ErrorCode::kUnreadable, fmt::format("The series {} could not be read: {}.", path, problem)};
  return series;
}

}  // namespace afterscope
