// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/edit_json.hpp"

#include "annotate/store/case_json.hpp"
#include "annotate/store/json_reader.hpp"
#include "annotate/store/json_text.hpp"
#include "annotate/store/review_json.hpp"

#include <fmt/format.h>

#include <utility>

namespace afterscope {
namespace {

// The word of an item in the names of edits: "put_WORD", "remove_WORD".
const char* WordFor(const VisitId&) { return "visit"; }
const char* WordFor(const MomentId&) { return "moment"; }
const char* WordFor(const MarkId&) { return "mark"; }
const char* WordFor(const TrailId&) { return "trail"; }
const char* WordFor(const ScaleId&) { return "scale"; }
const char* WordFor(const CaptionId&) { return "caption"; }
const char* WordFor(const DraftId&) { return "draft"; }
const char* WordFor(const ScoreId&) { return "score"; }
const char* WordFor(const ReviewId&) { return "signed_review"; }

template <class ItemId>
Json IdJson(const ItemId& id) {
  return id.value;
}
Json IdJson(const ScoreId& id) { return {{"sheet", id.sheet}, {"item", id.item}}; }

Json One(const std::string& name, Json value) {
  Json json = Json::object();
  json[name] = std::move(value);
  return json;
}

Json FieldJson(const std::string& field, const std::string& text) {
  return {{"field", field}, {"text", text}};
}

struct Writer {
  template <class Item>
  Json operator()(const Put<Item>& put) const {
    return One(fmt::format("put_{}", WordFor(put.item.id)), JsonFrom(put.item));
  }
  template <class ItemId>
  Json operator()(const Remove<ItemId>& remove) const {
    return One(fmt::format("remove_{}", WordFor(remove.id)), IdJson(remove.id));
  }
  Json operator()(const SetTrailPoints& set) const {
    Json removed = Json::array();
    for (const FrameRef at : set.removed) removed.push_back(JsonFrom(at));
    return One("set_trail_points",
               {{"trail", set.trail.value}, {"points", JsonFrom(set.points)}, {"removed", removed}});
  }
  Json operator()(const SetCheck& set) const {
    return One("set_check", {{"key", set.key}, {"state", JsonFrom(set.state)}});
  }
  Json operator()(const SetAssessment& set) const { return One("set_assessment", JsonFrom(set.assessment)); }
  Json operator()(const SetCaseField& set) const {
    return One("set_case_field", FieldJson(set.field, set.text));
  }
  Json operator()(const SetReviewField& set) const {
    return One("set_review_field", FieldJson(set.field, set.text));
  }
  Json operator()(const SetRecordings& set) const { return One("set_recordings", JsonFrom(set.recordings)); }
  Json operator()(const SetSignature& set) const {
    return One("set_signature", set.signature ? JsonFrom(*set.signature) : Json(nullptr));
  }
};

using EditReader = Result<Edit> (*)(const Json& value, std::string& problem);

template <class Item>
Result<Edit> ReadPut(const Json& value, std::string& problem) {
  Item item;
  ReadItem(value, item, problem);
  return Edit(Put<Item>{std::move(item)});
}

template <class ItemId>
Result<Edit> ReadRemove(const Json& value, std::string& problem) {
  if (value.is_string()) return Edit(Remove<ItemId>{{value.get<std::string>()}});
  problem = "something other than an id in a removal";
  return Edit(Remove<ItemId>{});
}

Result<Edit> ReadRemoveScore(const Json& value, std::string& problem) {
  Remove<ScoreId> remove;
  JsonReader reader(value, "remove_score", problem);
  reader.Read("sheet", remove.id.sheet);
  reader.Read("item", remove.id.item);
  return Edit(std::move(remove));
}

Result<Edit> ReadTrailPoints(const Json& value, std::string& problem) {
  SetTrailPoints set;
  JsonReader reader(value, "set_trail_points", problem);
  reader.Read("trail", set.trail.value);
  if (const Json* points = reader.Member("points")) ReadItem(*points, set.points, problem);
  reader.ReadEach("removed", [&](const Json& item) {
    const Json wrapped{{"at", item}};
    FrameRef at;
    JsonReader(wrapped, "set_trail_points", problem).Read("at", at);
    set.removed.push_back(at);
  });
  return Edit(std::move(set));
}

Result<Edit> ReadCheck(const Json& value, std::string& problem) {
  SetCheck set;
  JsonReader reader(value, "set_check", problem);
  reader.Read("key", set.key);
  reader.Read("state", set.state);
  return Edit(std::move(set));
}

Result<Edit> ReadAssessment(const Json& value, std::string& problem) {
  SetAssessment set;
  ReadItem(value, set.assessment, problem);
  return Edit(std::move(set));
}

template <class Set>
Result<Edit> ReadField(const Json& value, std::string& problem) {
  Set set;
  JsonReader reader(value, "a field", problem);
  reader.Read("field", set.field);
  reader.Read("text", set.text);
  return Edit(std::move(set));
}

Result<Edit> ReadRecordings(const Json& value, std::string&) {
  AFTERSCOPE_ASSIGN(std::vector<RecordingRef> recordings, RecordingsFrom(value, "set_recordings"));
  return Edit(SetRecordings{std::move(recordings)});
}

Result<Edit> ReadSignature(const Json& value, std::string& problem) {
  SetSignature set;
  if (!value.is_null()) ReadItem(value, set.signature.emplace(), problem);
  return Edit(std::move(set));
}

constexpr std::pair<const char*, EditReader> kReaders[] = {
    {"put_visit", ReadPut<StepVisit>},
    {"remove_visit", ReadRemove<VisitId>},
    {"put_moment", ReadPut<Moment>},
    {"remove_moment", ReadRemove<MomentId>},
    {"put_mark", ReadPut<Mark>},
    {"remove_mark", ReadRemove<MarkId>},
    {"put_trail", ReadPut<Trail>},
    {"remove_trail", ReadRemove<TrailId>},
    {"put_scale", ReadPut<ScaleDef>},
    {"remove_scale", ReadRemove<ScaleId>},
    {"put_caption", ReadPut<Caption>},
    {"remove_caption", ReadRemove<CaptionId>},
    {"put_draft", ReadPut<Draft>},
    {"remove_draft", ReadRemove<DraftId>},
    {"put_score", ReadPut<Score>},
    {"remove_score", ReadRemoveScore},
    {"set_trail_points", ReadTrailPoints},
    {"set_check", ReadCheck},
    {"set_assessment", ReadAssessment},
    {"set_case_field", ReadField<SetCaseField>},
    {"set_review_field", ReadField<SetReviewField>},
    {"set_recordings", ReadRecordings},
    {"put_signed_review", ReadPut<SignedReview>},
    {"remove_signed_review", ReadRemove<ReviewId>},
    {"set_signature", ReadSignature},
};

Result<Edit> EditFrom(const Json& json, const std::string& what) {
  if (!json.is_object() || json.size() != 1)
    return UnreadableBecause(what, "an edit that is not an object with one member");
  const std::string name = json.items().begin().key();
  for (const auto& [known, read] : kReaders) {
    if (name != known) continue;
    std::string problem;
    AFTERSCOPE_ASSIGN(Edit edit, read(json.front(), problem));
    if (!problem.empty()) return UnreadableBecause(what, problem);
    return edit;
  }
  return UnreadableBecause(what, fmt::format("an edit '{}', which this version does not know", name));
}

Result<EditGroup> GroupFrom(const Json& json, const std::string& what) {
  EditGroup group{"Edits from a file", {}};
  std::string problem;
  JsonReader reader(json, "a group of edits", problem);
  reader.Read("label", group.label);
  const Json* edits = reader.Member("edits");
  if (!problem.empty()) return UnreadableBecause(what, problem);
  if (!edits) return UnreadableBecause(what, "a group without 'edits'");
  AFTERSCOPE_ASSIGN(group.edits, EditsFrom(*edits, what));
  return group;
}

}  // namespace

Json JsonFrom(const Edit& edit) { return std::visit(Writer{}, edit); }

Json JsonFrom(const std::vector<Edit>& edits) {
  Json list = Json::array();
  for (const Edit& edit : edits) list.push_back(JsonFrom(edit));
  return list;
}

Result<std::vector<Edit>> EditsFrom(const Json& json, const std::string& what) {
  if (!json.is_array()) return UnreadableBecause(what, "edits that are not a list");
  std::vector<Edit> edits;
  for (const Json& item : json) {
    AFTERSCOPE_ASSIGN(Edit edit, EditFrom(item, what));
    edits.push_back(std::move(edit));
  }
  return edits;
}

Result<std::vector<EditGroup>> EditGroupsFrom(const Json& json, const std::string& what) {
  std::vector<EditGroup> groups;
  if (json.is_object()) {
    AFTERSCOPE_ASSIGN(EditGroup group, GroupFrom(json, what));
    groups.push_back(std::move(group));
    return groups;
  }
  if (!json.is_array()) return UnreadableBecause(what, "something other than groups of edits");
  for (const Json& item : json) {
    AFTERSCOPE_ASSIGN(EditGroup group, GroupFrom(item, what));
    groups.push_back(std::move(group));
  }
  return groups;
}

}  // namespace afterscope
