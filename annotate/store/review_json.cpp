// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/review_json.hpp"

#include "annotate/case/edit.hpp"
#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>

#include <utility>

namespace afterscope {
namespace {

Json JsonFrom(const HalfOpen<FrameRef>& range) {
  return {{"start", afterscope::JsonFrom(range.start)}, {"end", afterscope::JsonFrom(range.end)}};
}

Json JsonFrom(const TrailGap& gap) {
  Json json = JsonFrom(gap.range);
  json["out_of_eye"] = gap.out_of_eye;
  return json;
}

template <class Item>
Json ListFrom(const std::vector<Item>& items) {
  Json list = Json::array();
  for (const Item& item : items) list.push_back(JsonFrom(item));
  return list;
}

HalfOpen<FrameRef> ReadRange(const Json& json, std::string& problem) {
  HalfOpen<FrameRef> range;
  JsonReader reader(json, "a stretch", problem);
  reader.Read("start", range.start);
  reader.Read("end", range.end);
  return range;
}

template <class Item>
void ReadList(JsonReader& reader, const char* name, std::vector<Edit>& edits, std::string& problem) {
  reader.ReadEach(name, [&](const Json& json) {
    Item item;
    ReadItem(json, item, problem);
    edits.emplace_back(Put<Item>{std::move(item)});
  });
}

void ReadChecks(JsonReader& reader, std::vector<Edit>& edits) {
  std::map<std::string, std::string> checks;
  reader.Read("checks", checks);
  for (const auto& [key, word] : checks) {
    if (const auto state = FromWord<CheckState>(word))
      edits.emplace_back(SetCheck{key, *state});
    else
      reader.Fail("checks", "a word that is not known");
  }
}

}  // namespace

Json JsonFrom(const StepVisit& visit) {
  return {
      {"id", visit.id.value},           {"step", visit.step},         {"lane", visit.lane},
      {"start", JsonFrom(visit.start)}, {"end", JsonFrom(visit.end)}, {"operator_code", visit.operator_code},
      {"taken_over", visit.taken_over}};
}

Json JsonFrom(const Moment& moment) {
  return {{"id", moment.id.value}, {"at", JsonFrom(moment.at)}, {"kind", JsonFrom(moment.kind)},
          {"key", moment.key},     {"text", moment.text},       {"fields", Json(moment.fields)}};
}

Json JsonFrom(const Mark& mark) {
  Json points = Json::array();
  for (const PointPx point : mark.points) points.push_back(Json::array({point.x, point.y}));
  return {{"id", mark.id.value},         {"at", JsonFrom(mark.at)}, {"kind", JsonFrom(mark.kind)},
          {"points", std::move(points)}, {"text", mark.text},       {"fields", Json(mark.fields)}};
}

Json JsonFrom(const std::vector<TrailPoint>& points) {
  Json list = Json::array();
  for (const TrailPoint& point : points)
    list.push_back(Json::array({point.at.recording, point.at.pts.ticks, point.tip.x, point.tip.y,
                                JsonFrom(point.source), point.confidence}));
  return list;
}

Json JsonFrom(const Trail& trail) {
  return {{"id", trail.id.value},
          {"instrument", trail.instrument},
          {"hand", trail.hand},
          {"gaps", ListFrom(trail.gaps)},
          {"points", JsonFrom(trail.points)}};
}

Json JsonFrom(const ScaleDef& scale) {
  return {{"id", scale.id.value},
          {"source", JsonFrom(scale.source)},
          {"mark", scale.mark.value},
          {"plane", JsonFrom(scale.plane)},
          {"known_mm", JsonFrom(scale.known_mm)},
          {"known_sd_mm", JsonFrom(scale.known_sd_mm)},
          {"range", scale.range ? JsonFrom(*scale.range) : Json(nullptr)}};
}

Json JsonFrom(const Assessment& assessment) {
  return {{"own_view", assessment.own_view},
          {"strengths", assessment.strengths},
          {"change", assessment.change},
          {"drill", assessment.drill},
          {"drill_date", assessment.drill_date}};
}

Json JsonFrom(const Caption& caption) {
  return {{"id", caption.id.value},
          {"start", JsonFrom(caption.start)},
          {"end", JsonFrom(caption.end)},
          {"text", caption.text}};
}

Json JsonFrom(const Draft& draft) {
  return {{"id", draft.id.value},           {"kind", JsonFrom(draft.kind)}, {"state", JsonFrom(draft.state)},
          {"start", JsonFrom(draft.start)}, {"end", JsonFrom(draft.end)},   {"key", draft.key},
          {"fields", Json(draft.fields)},   {"words", draft.words},         {"confidence", draft.confidence}};
}

Json JsonFrom(const Review& review) {
  Json checks = Json::object();
  for (const auto& [key, state] : review.checks) checks[key] = JsonFrom(state);
  return {{"id", review.id.value},
          {"reviewer_code", review.reviewer_code},
          {"kind", JsonFrom(review.kind)},
          {"is_signed", review.is_signed},
          {"visits", ListFrom(review.visits)},
          {"moments", ListFrom(review.moments)},
          {"marks", ListFrom(review.marks)},
          {"trails", ListFrom(review.trails)},
          {"scales", ListFrom(review.scales)},
          {"checks", std::move(checks)},
          {"assessment", JsonFrom(review.assessment)},
          {"captions", ListFrom(review.captions)},
          {"drafts", ListFrom(review.drafts)}};
}

void ReadItem(const Json& json, StepVisit& visit, std::string& problem) {
  JsonReader reader(json, "a visit", problem);
  reader.Read("id", visit.id.value);
  reader.Read("step", visit.step);
  reader.Read("lane", visit.lane);
  reader.Read("start", visit.start);
  reader.Read("end", visit.end);
  reader.Read("operator_code", visit.operator_code);
  reader.Read("taken_over", visit.taken_over);
}

void ReadItem(const Json& json, Moment& moment, std::string& problem) {
  JsonReader reader(json, "a moment", problem);
  reader.Read("id", moment.id.value);
  reader.Read("at", moment.at);
  reader.Read("kind", moment.kind);
  reader.Read("key", moment.key);
  reader.Read("text", moment.text);
  reader.Read("fields", moment.fields);
}

void ReadItem(const Json& json, Mark& mark, std::string& problem) {
  JsonReader reader(json, "a mark", problem);
  reader.Read("id", mark.id.value);
  reader.Read("at", mark.at);
  reader.Read("kind", mark.kind);
  reader.Read("points", mark.points);
  reader.Read("text", mark.text);
  reader.Read("fields", mark.fields);
}

void ReadItem(const Json& json, std::vector<TrailPoint>& points, std::string& problem) {
  const auto fail = [&] {
    if (problem.empty()) problem = "something other than a point of a trail";
  };
  if (!json.is_array()) return fail();
  for (const Json& item : json) {
    const bool shaped = item.is_array() && item.size() == 6 && item[0].is_number_integer() &&
                        item[1].is_number_integer() && item[2].is_number() && item[3].is_number() &&
                        item[4].is_string() && item[5].is_number();
    const auto source = shaped ? FromWord<TrailSource>(item[4].get<std::string>()) : std::nullopt;
    const auto recording = shaped ? item[0].get<std::int64_t>() : -1;
    if (!source || !std::in_range<int>(recording)) return fail();
    points.push_back({{static_cast<int>(recording), Pts{item[1].get<std::int64_t>()}},
                      {item[2].get<double>(), item[3].get<double>()},
                      *source,
                      item[5].get<double>()});
  }
}

void ReadItem(const Json& json, Trail& trail, std::string& problem) {
  JsonReader reader(json, "a trail", problem);
  reader.Read("id", trail.id.value);
  reader.Read("instrument", trail.instrument);
  reader.Read("hand", trail.hand);
  reader.ReadEach("gaps", [&](const Json& item) {
    TrailGap gap;
    gap.range = ReadRange(item, problem);
    JsonReader(item, "a gap", problem).Read("out_of_eye", gap.out_of_eye);
    trail.gaps.push_back(gap);
  });
  if (const Json* points = reader.Member("points")) ReadItem(*points, trail.points, problem);
}

void ReadItem(const Json& json, ScaleDef& scale, std::string& problem) {
  JsonReader reader(json, "a scale", problem);
  reader.Read("id", scale.id.value);
  reader.Read("source", scale.source);
  reader.Read("mark", scale.mark.value);
  reader.Read("plane", scale.plane);
  reader.Read("known_mm", scale.known_mm);
  reader.Read("known_sd_mm", scale.known_sd_mm);
  if (const Json* range = reader.Member("range")) scale.range = ReadRange(*range, problem);
}

void ReadItem(const Json& json, Caption& caption, std::string& problem) {
  JsonReader reader(json, "a caption", problem);
  reader.Read("id", caption.id.value);
  reader.Read("start", caption.start);
  reader.Read("end", caption.end);
  reader.Read("text", caption.text);
}

void ReadItem(const Json& json, Draft& draft, std::string& problem) {
  JsonReader reader(json, "a draft", problem);
  reader.Read("id", draft.id.value);
  reader.Read("kind", draft.kind);
  reader.Read("state", draft.state);
  reader.Read("start", draft.start);
  reader.Read("end", draft.end);
  reader.Read("key", draft.key);
  reader.Read("fields", draft.fields);
  reader.Read("words", draft.words);
  reader.Read("confidence", draft.confidence);
}

void ReadItem(const Json& json, Assessment& assessment, std::string& problem) {
  JsonReader reader(json, "the assessment", problem);
  reader.Read("own_view", assessment.own_view);
  reader.Read("strengths", assessment.strengths);
  reader.Read("change", assessment.change);
  reader.Read("drill", assessment.drill);
  reader.Read("drill_date", assessment.drill_date);
}

Result<Review> ReviewFrom(const Json& json, const std::string& what) {
  Review review;
  std::string problem;
  EditGroup content;
  JsonReader reader(json, "the review", problem);
  reader.Read("id", review.id.value);
  reader.Read("reviewer_code", review.reviewer_code);
  reader.Read("kind", review.kind);
  reader.Read("is_signed", review.is_signed);
  ReadList<StepVisit>(reader, "visits", content.edits, problem);
  ReadList<Moment>(reader, "moments", content.edits, problem);
  ReadList<Mark>(reader, "marks", content.edits, problem);
  ReadList<Trail>(reader, "trails", content.edits, problem);
  ReadList<ScaleDef>(reader, "scales", content.edits, problem);
  ReadList<Caption>(reader, "captions", content.edits, problem);
  ReadList<Draft>(reader, "drafts", content.edits, problem);
  ReadChecks(reader, content.edits);
  Assessment assessment;
  if (const Json* words = reader.Member("assessment")) ReadItem(*words, assessment, problem);
  content.edits.emplace_back(SetAssessment{assessment});
  if (problem.empty() && !IsValidIdText(review.id.value)) problem = "no valid id";
  if (!problem.empty())
    return Error{ErrorCode::kUnreadable, fmt::format("Can't read {}: it has {}.", what, problem)};
  CaseRecord none;
  if (const auto done = ReapplyEdits(content, none, review); !done.ok())
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't read {}: it has a value of no sense ({}).", what, done.error().message)};
  return review;
}

}  // namespace afterscope
