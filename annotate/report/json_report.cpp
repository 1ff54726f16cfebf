// SPDX-License-Identifier: Apache-2.0
#include "annotate/report/json_report.hpp"

#include "annotate/case/words.hpp"
#include "annotate/exchange/exported_number.hpp"
#include "annotate/exchange/finding_json.hpp"

#include <nlohmann/json.hpp>

namespace afterscope {

namespace {

using Json = nlohmann::ordered_json;

constexpr const char* kVersion = "1.0";

std::string CoverWord(Overlap kind) {
  switch (kind) {
    case Overlap::kOverlapped:
      return "overlapped";
    case Overlap::kBare:
      return "bare";
    case Overlap::kUncertain:
      return "uncertain";
    case Overlap::kHiddenByIris:
      return "hidden by the iris";
  }
  return "uncertain";
}

Json FrameOf(const ReportFrame& frame) {
  Json json = JsonFromFrame(frame.ref);
  json["case_s"] = frame.case_seconds;
  return json;
}

Json HeadingOf(const ReportModel& model) {
  const ReportHeading& heading = model.heading;
  Json json{{"case_code", heading.case_code},
            {"date", heading.date},
            {"eye", heading.eye},
            {"operation", heading.operation},
            {"operator_code", heading.operator_code},
            {"operator_role", heading.operator_role},
            {"supervision_level", heading.supervision_level},
            {"difficulty", heading.difficulty},
            {"reviewer_code", heading.reviewer_code},
            {"review", heading.review_id},
            {"review_kind", heading.review_kind},
            {"review_traits", heading.review_traits},
            {"is_signed", heading.is_signed}};
  json["own_share"] = nullptr;
  if (model.share)
    json["own_share"] = {{"own_s", model.share->own_seconds},
                         {"total_s", model.share->total_seconds},
                         {"take_overs", model.share->take_overs}};
  return json;
}

Json AnswersOf(const std::vector<ReviewAnswer>& answers) {
  Json json = Json::array();
  for (const ReviewAnswer& answer : answers)
    json.push_back({{"by", answer.by}, {"date", answer.date}, {"text", answer.text}});
  return json;
}

Json AssessmentOf(const Assessment& said) {
  return {{"own_view", said.own_view},     {"strengths", said.strengths},
          {"change", said.change},         {"drill", said.drill},
          {"drill_date", said.drill_date}, {"earlier_goal", WordOf(said.earlier_goal)}};
}

Json StripOf(const OperationStrip& strip) {
  Json json = Json::array();
  for (const StripVisit& visit : strip.visits)
    json.push_back({{"step", visit.step_name},
                    {"start_s", visit.start_seconds},
                    {"end_s", visit.end_seconds},
                    {"taken_over", visit.taken_over}});
  return json;
}

Json StepOf(const StepRow& row) {
  Json json{{"key", row.key},
            {"name", row.name},
            {"own_visits", row.own_visits},
            {"own_s", row.own_seconds},
            {"own_low_s", row.own_limits ? Json(row.own_limits->low) : Json(nullptr)},
            {"own_high_s", row.own_limits ? Json(row.own_limits->high) : Json(nullptr)},
            {"others_s", row.others_seconds},
            {"longest_s", row.longest_seconds},
            {"first_start_s", row.first_start_seconds},
            {"starts", Json::array()},
            {"earlier", nullptr}};
  for (const ReportFrame& start : row.starts) json["starts"].push_back(FrameOf(start));
  if (row.earlier)
    json["earlier"] = {{"cases", row.earlier->cases},
                       {"median_s", row.earlier->median_seconds},
                       {"shortest_s", row.earlier->low_seconds},
                       {"longest_s", row.earlier->high_seconds}};
  return json;
}

Json MomentOf(const MomentRow& row) {
  Json fields = Json::object();
  for (const auto& [name, value] : row.fields) fields[name] = value;
  return {{"at", FrameOf(row.at)}, {"kind", WordOf(row.kind)}, {"title", row.title},
          {"step", row.step_name}, {"text", row.text},         {"fields", fields}};
}

Json EarlierGoalJson(const std::optional<EarlierGoal>& goal) {
  if (!goal) return nullptr;
  return {{"case", goal->case_code},
          {"date", goal->date},
          {"drill", goal->drill},
          {"outcome", WordOf(goal->outcome)}};
}

Json ScoresOf(const ScorePanel& panel) {
  Json rows = Json::array();
  for (const ScoreRow& row : panel.rows) {
    Json frames = Json::array();
    for (const ReportFrame& frame : row.moments) frames.push_back(FrameOf(frame));
    rows.push_back({{"group", row.group},
                    {"name", row.name},
                    {"value", row.value},
                    {"remark", row.remark},
                    {"moments", std::move(frames)}});
  }
  return {{"title", panel.title}, {"items", std::move(rows)}, {"sum", panel.sum}};
}

Json RhexisOf(const RhexisPanel& panel) {
  Json cover = Json::array();
  for (const CoverSector& sector : panel.cover)
    cover.push_back({{"clock_hour", sector.clock_hour}, {"state", CoverWord(sector.kind)}});
  Json names = Json::array();
  for (const ReportFinding& finding : panel.findings) names.push_back(finding.finding.name);
  return {{"title", panel.title}, {"cover", cover}, {"findings", names}};
}

Json MethodOf(const ReportModel& model) {
  Json scales = Json::array(), recordings = Json::array(), how = Json::array();
  for (const ReportScale& scale : model.scales)
    scales.push_back(
        {{"id", scale.id.value}, {"description", scale.description}, {"frame", FrameOf(scale.frame)}});
  for (const ReportRecording& recording : model.recordings)
    recordings.push_back({{"fingerprint", recording.fingerprint},
                          {"description", recording.description},
                          {"start_s", recording.start_seconds}});
  for (const auto& [what, text] : model.method) how.push_back({{"what", what}, {"how", text}});
  return {{"scales", scales}, {"recordings", recordings}, {"how", how}};
}

// Values with their times in seconds; nothing is known between two runs.
Json EyeCourseOf(const EyeChartPanel& shown) {
  Json runs = Json::array();
  for (const auto& run : shown.course.runs) {
    Json values = Json::array();
    for (const TimedValue& v : run) values.push_back({v.seconds, v.value});
    runs.push_back(std::move(values));
  }
  return {{"title", shown.title},
          {"unit", shown.course.unit},
          {"limits", shown.limits},
          {"runs", std::move(runs)}};
}

template <class List, class Make>
Json ArrayOf(const List& list, Make make) {
  Json json = Json::array();
  for (const auto& item : list) json.push_back(make(item));
  return json;
}

}  // namespace

std::string MakeJson(const ReportModel& model) {
  Json json{{"format", "afterscope report"}, {"version", kVersion}};
  json["case"] = HeadingOf(model);
  json["assessment"] = AssessmentOf(model.assessment);
  json["earlier_goal"] = EarlierGoalJson(model.earlier_goal);
  json["answers"] = AnswersOf(model.answers);
  json["visits"] = StripOf(model.strip);
  json["key_findings"] = ArrayOf(model.key_findings, [](const ReportFinding& f) { return f.finding.name; });
  json["not_reviewed"] = model.not_reviewed;
  json["steps"] = ArrayOf(model.steps, StepOf);
  json["rhexis"] = ArrayOf(model.rhexis, RhexisOf);
  json["eye_over_time"] = Json::array();
  if (model.eye_over_time) json["eye_over_time"] = ArrayOf(model.eye_over_time->charts, EyeCourseOf);
  json["moments"] = ArrayOf(model.moments, MomentOf);
  json["settings"] = ArrayOf(model.settings, MomentOf);
  json["checks"] = ArrayOf(model.checks, [](const CheckRow& check) {
    return Json{{"name", check.name}, {"state", WordOf(check.state)}};
  });
  json["scores"] = ArrayOf(model.scores, ScoresOf);
  json["findings"] = ArrayOf(model.findings, JsonFromFinding);
  json["method"] = MethodOf(model);
  json["cautions"] = model.cautions;
  return ExportedText(json, 2);
}

}  // namespace afterscope
