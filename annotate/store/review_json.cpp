// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/review_json.hpp"

#include "annotate/case/edit.hpp"
#include "annotate/store/json_members.hpp"

#include <fmt/format.h>

#include <set>
#include <utility>

namespace afterscope {
template <Like<StepVisit> Visit, class Each>
void EachMember(Visit& visit, Each&& each) {
  each("id", visit.id.value);
  each("step", visit.step);
  each("lane", visit.lane);
  each("start", visit.start);
  each("end", visit.end);
  each("operator_code", visit.operator_code);
  each("taken_over", visit.taken_over);
}

template <Like<Moment> Item, class Each>
void EachMember(Item& moment, Each&& each) {
  each("id", moment.id.value);
  each("at", moment.at);
  each("kind", moment.kind);
  each("key", moment.key);
  each("text", moment.text);
  each("fields", moment.fields);
}

template <Like<Mark> Item, class Each>
void EachMember(Item& mark, Each&& each) {
  each("id", mark.id.value);
  each("at", mark.at);
  each("kind", mark.kind);
  each("points", mark.points);
  each("text", mark.text);
  each("fields", mark.fields);
}

// Without its gaps and points.
template <Like<Trail> Item, class Each>
void EachMember(Item& trail, Each&& each) {
  each("id", trail.id.value);
  each("instrument", trail.instrument);
  each("hand", trail.hand);
}

// Without its range.
template <Like<ScaleDef> Item, class Each>
void EachMember(Item& scale, Each&& each) {
  each("id", scale.id.value);
  each("source", scale.source);
  each("mark", scale.mark.value);
  each("plane", scale.plane);
  each("known_mm", scale.known_mm);
  each("known_sd_mm", scale.known_sd_mm);
}

template <Like<Assessment> Item, class Each>
void EachMember(Item& assessment, Each&& each) {
  each("own_view", assessment.own_view);
  each("strengths", assessment.strengths);
  each("change", assessment.change);
  each("drill", assessment.drill);
  each("drill_date", assessment.drill_date);
  each("earlier_goal", assessment.earlier_goal);
}

template <Like<Caption> Item, class Each>
void EachMember(Item& caption, Each&& each) {
  each("id", caption.id.value);
  each("start", caption.start);
  each("end", caption.end);
  each("text", caption.text);
}

template <Like<Draft> Item, class Each>
void EachMember(Item& draft, Each&& each) {
  each("id", draft.id.value);
  each("kind", draft.kind);
  each("state", draft.state);
  each("start", draft.start);
  each("end", draft.end);
  each("key", draft.key);
  each("fields", draft.fields);
  each("words", draft.words);
  each("confidence", draft.confidence);
}

// Without its moments.
template <Like<Score> Item, class Each>
void EachMember(Item& score, Each&& each) {
  each("sheet", score.id.sheet);
  each("item", score.id.item);
  each("value", score.value);
  each("remark", score.remark);
}

template <Like<Signature> Item, class Each>
void EachMember(Item& signature, Each&& each) {
  each("by", signature.by);
  each("at", signature.at);
  each("case_entry", signature.case_entry);
}

// What stands before its items.
template <Like<Review> Item, class Each>
void EachMember(Item& review, Each&& each) {
  each("id", review.id.value);
  each("reviewer_code", review.reviewer_code);
  each("kind", review.kind);
  each("self_review", review.is_self);
  each("blinding", review.blinding);
  each("review_version", review.version);
  each("version_of", review.version_of.value);
  each("earlier_seal", review.earlier_seal);
  each("is_signed", review.is_signed);
}

static Json JsonFrom(const HalfOpen<FrameRef>& range) {
  return {{"start", JsonFrom(range.start)}, {"end", JsonFrom(range.end)}};
}

static Json JsonFrom(const TrailGap& gap) {
  Json json = JsonFrom(gap.range);
  json["out_of_eye"] = gap.out_of_eye;
  return json;
}

namespace {

HalfOpen<FrameRef> ReadRange(const Json& json, std::string& problem) {
  HalfOpen<FrameRef> range;
  JsonReader reader(json, "a stretch", problem);
  reader.Read("start", range.start);
  reader.Read("end", range.end);
  return range;
}

template <class Item>
void ReadList(JsonReader& reader, const char* name, std::vector<Edit>& edits, std::string& problem) {
  std::set<decltype(Item::id)> ids;
  reader.ReadEach(name, [&](const Json& json) {
    Item item;
    ReadItem(json, item, problem);
    if (!ids.insert(item.id).second) reader.Fail(name, "an id that is there twice");
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

Json JsonFrom(const StepVisit& visit) { return MembersJson(visit); }
Json JsonFrom(const Moment& moment) { return MembersJson(moment); }
Json JsonFrom(const Mark& mark) { return MembersJson(mark); }
Json JsonFrom(const Assessment& assessment) { return MembersJson(assessment); }
Json JsonFrom(const Signature& signature) { return MembersJson(signature); }
Json JsonFrom(const Caption& caption) { return MembersJson(caption); }
Json JsonFrom(const Draft& draft) { return MembersJson(draft); }

Json JsonFrom(const std::vector<TrailPoint>& points) {
  Json list = Json::array();
  for (const TrailPoint& point : points) {
    list.push_back(Json::array({point.at.recording, point.at.pts.ticks, point.tip.x, point.tip.y,
                                JsonFrom(point.source), point.confidence}));
    if (point.shaft) list.back().push_back(Json::array({point.shaft->x, point.shaft->y}));
  }
  return list;
}

Json JsonFrom(const Trail& trail) {
  Json json = MembersJson(trail);
  json["gaps"] = ListFrom(trail.gaps);
  json["points"] = JsonFrom(trail.points);
  return json;
}

Json JsonFrom(const ScaleDef& scale) {
  Json json = MembersJson(scale);
  json["range"] = scale.range ? JsonFrom(*scale.range) : Json(nullptr);
  return json;
}

Json JsonFrom(const Score& score) {
  Json json = MembersJson(score);
  json["moments"] = Json::array();
  for (const MomentId& moment : score.moments) json["moments"].push_back(moment.value);
  return json;
}

Json JsonFrom(const Review& review) {
  Json json = MembersJson(review);
  if (review.is_signed) json["signature"] = JsonFrom(review.signature);
  json["visits"] = ListFrom(review.visits);
  json["moments"] = ListFrom(review.moments);
  json["marks"] = ListFrom(review.marks);
  json["trails"] = ListFrom(review.trails);
  json["scales"] = ListFrom(review.scales);
  json["scores"] = ListFrom(review.scores);
  Json checks = Json::object();
  for (const auto& [key, state] : review.checks) checks[key] = JsonFrom(state);
  json["checks"] = std::move(checks);
  json["assessment"] = JsonFrom(review.assessment);
  json["captions"] = ListFrom(review.captions);
  json["drafts"] = ListFrom(review.drafts);
  return json;
}

void ReadItem(const Json& json, StepVisit& visit, std::string& problem) {
  ReadMembersOf(json, "a visit", visit, problem);
}

void ReadItem(const Json& json, Moment& moment, std::string& problem) {
  ReadMembersOf(json, "a moment", moment, problem);
}

void ReadItem(const Json& json, Mark& mark, std::string& problem) {
  ReadMembersOf(json, "a mark", mark, problem);
}

void ReadItem(const Json& json, Caption& caption, std::string& problem) {
  ReadMembersOf(json, "a caption", caption, problem);
}

void ReadItem(const Json& json, Draft& draft, std::string& problem) {
  ReadMembersOf(json, "a draft", draft, problem);
}

void ReadItem(const Json& json, Signature& signature, std::string& problem) {
  ReadMembersOf(json, "a signature", signature, problem);
}

void ReadItem(const Json& json, std::vector<TrailPoint>& points, std::string& problem) {
  const auto fail = [&] {
    if (problem.empty()) problem = "something other than a point of a trail";
  };
  if (!json.is_array()) return fail();
  for (const Json& item : json) {
    const bool shaped = item.is_array() && (item.size() == 6 || item.size() == 7) &&
                        item[0].is_number_integer() && item[1].is_number_integer() && item[2].is_number() &&
                        item[3].is_number() && item[4].is_string() && item[5].is_number();
    const auto source = shaped ? FromWord<TrailSource>(item[4].get<std::string>()) : std::nullopt;
    const auto recording = shaped ? item[0].get<std::int64_t>() : -1;
    if (!source || !std::in_range<int>(recording) || !IsSaneTime(Pts{item[1].get<std::int64_t>()}))
      return fail();
    points.push_back({{static_cast<int>(recording), Pts{item[1].get<std::int64_t>()}},
                      {item[2].get<double>(), item[3].get<double>()},
                      *source,
                      item[5].get<double>()});
    if (item.size() == 6) continue;
    const Json& shaft = item[6];
    if (!shaft.is_array() || shaft.size() != 2 || !shaft[0].is_number() || !shaft[1].is_number())
      return fail();
    points.back().shaft = {shaft[0].get<double>(), shaft[1].get<double>()};
  }
}

void ReadItem(const Json& json, Trail& trail, std::string& problem) {
  JsonReader reader(json, "a trail", problem);
  ReadMembers(reader, trail);
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
  ReadMembers(reader, scale);
  if (const Json* range = reader.Member("range")) scale.range = ReadRange(*range, problem);
}

void ReadItem(const Json& json, Score& score, std::string& problem) {
  JsonReader reader(json, "a score", problem);
  ReadMembers(reader, score);
  std::vector<std::string> moments;
  reader.Read("moments", moments);
  for (std::string& moment : moments) score.moments.push_back({std::move(moment)});
}

void ReadItem(const Json& json, Assessment& assessment, std::string& problem) {
  ReadMembersOf(json, "the assessment", assessment, problem);
}

Result<Review> ReviewFrom(const Json& json, const std::string& what) {
  Review review;
  std::string problem;
  EditGroup content;
  JsonReader reader(json, "the review", problem);
  ReadMembers(reader, review);
  if (const Json* signature = reader.Member("signature")) ReadItem(*signature, review.signature, problem);
  ReadList<StepVisit>(reader, "visits", content.edits, problem);
  ReadList<Moment>(reader, "moments", content.edits, problem);
  ReadList<Mark>(reader, "marks", content.edits, problem);
  ReadList<Trail>(reader, "trails", content.edits, problem);
  ReadList<ScaleDef>(reader, "scales", content.edits, problem);
  ReadList<Score>(reader, "scores", content.edits, problem);
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
