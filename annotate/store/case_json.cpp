// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_json.hpp"

#include "annotate/case/case_fields.hpp"
#include "annotate/case/edit_checks.hpp"
#include "annotate/store/json_members.hpp"
#include "annotate/store/json_text.hpp"

#include <fmt/format.h>

#include <set>
#include <utility>

namespace afterscope {
template <Like<RecordingRef> Item, class Each>
void EachMember(Item& recording, Each&& each) {
  each("path", recording.path);
  each("size", recording.fingerprint.size);
  each("sampled_sha256", recording.fingerprint.sampled_sha256);
  each("full_sha256", recording.fingerprint.full_sha256);
  each("time_base", recording.shape.time_base);
  each("first", recording.shape.first);
  each("end", recording.shape.end);
  each("width", recording.shape.width);
  each("height", recording.shape.height);
  each("pixel_aspect", recording.shape.pixel_aspect);
  each("rotation_deg", recording.shape.rotation_deg);
  each("verified", recording.shape.verified);
  each("frame_ticks", recording.shape.frame.ticks);
}

template <Like<Consent> Item, class Each>
void EachMember(Item& consent, Each&& each) {
  each("purpose", consent.purpose);
  each("given", consent.given);
  each("withdrawn", consent.withdrawn);
  each("delete_by", consent.delete_by);
}

template <Like<ReviewAnswer> Item, class Each>
void EachMember(Item& answer, Each&& each) {
  each("by", answer.by);
  each("date", answer.date);
  each("text", answer.text);
}

// Without its answers.
template <Like<SignedReview> Item, class Each>
void EachMember(Item& review, Each&& each) {
  each("id", review.id.value);
  each("seal", review.seal);
  each("recognised", review.recognised);
}

// Without its lists of objects.
template <Like<CaseRecord> Item, class Each>
void EachMember(Item& record, Each&& each) {
  each("code", record.code);
  each("date", record.date);
  each("eye", record.eye);
  each("operation", record.operation);
  each("step_list", record.step_list);
  each("operator_code", record.operator_code);
  each("operator_role", record.operator_role);
  each("supervisor_code", record.supervisor_code);
  each("supervision_level", record.supervision_level);
  each("difficulty", record.difficulty);
  each("planned_rhexis_mm", record.planned_rhexis_mm);
  each("planned_rhexis_kind", record.planned_rhexis_kind);
  each("optic_diameter_mm", record.optic_diameter_mm);
  each("corneal_diameter_mm", record.corneal_diameter_mm);
  each("corneal_power_d", record.corneal_power_d);
  each("chamber_depth_mm", record.chamber_depth_mm);
  each("seat_clock_hour", record.seat_clock_hour);
  each("picture_mirrored", record.picture_mirrored);
  each("picture_turned_deg", record.picture_turned_deg);
  each("orientation_confirmed", record.orientation_confirmed);
}

namespace {

// Of items whose members are all listed.
template <class Item>
Json PlainList(const std::vector<Item>& items) {
  Json list = Json::array();
  for (const Item& item : items) list.push_back(MembersJson(item));
  return list;
}

template <class Item>
void ReadList(JsonReader& reader, const char* name, const char* what, std::vector<Item>& items,
              std::string& problem) {
  reader.ReadEach(name, [&](const Json& json) { ReadMembersOf(json, what, items.emplace_back(), problem); });
}

void ReadRecord(const Json& json, CaseRecord& record, std::string& problem) {
  JsonReader reader(json, "the case", problem);
  ReadMembers(reader, record);
  ReadList(reader, "consent", "a consent", record.consent, problem);
  reader.Read("extra", record.extra);
  ReadList(reader, "recordings", "a recording", record.recordings, problem);
  std::set<std::string> ids;
  reader.ReadEach("signed_reviews", [&](const Json& item) {
    SignedReview& review = record.signed_reviews.emplace_back();
    ReadItem(item, review, problem);
    if (!ids.insert(review.id.value).second) reader.Fail("signed_reviews", "an id that is there twice");
  });
}

// Builds the record again through the same doors by which edits set its fields, so that nothing gets in by a
// file that an edit would refuse.
Status Recheck(const CaseRecord& record) {
  CaseRecord rebuilt;
  std::vector<std::string> fields = CaseFieldNames();
  for (const auto& [name, text] : record.extra) fields.push_back("extra." + name);
  for (const Consent& consent : record.consent) fields.push_back("consent." + consent.purpose);
  for (const std::string& field : fields) {
    AFTERSCOPE_ASSIGN(const std::string text, CaseFieldText(record, field));
    AFTERSCOPE_TRY(CheckEdit(SetCaseField{field, text}));
    AFTERSCOPE_TRY(SetCaseFieldText(rebuilt, field, text));
  }
  for (const SignedReview& review : record.signed_reviews)
    AFTERSCOPE_TRY(CheckEdit(Put<SignedReview>{review}));
  return CheckEdit(SetRecordings{record.recordings});
}

}  // namespace

Json JsonFrom(const std::vector<RecordingRef>& recordings) { return PlainList(recordings); }

Json JsonFrom(const SignedReview& review) {
  Json json = MembersJson(review);
  json["answers"] = PlainList(review.answers);
  return json;
}

void ReadItem(const Json& json, SignedReview& review, std::string& problem) {
  JsonReader reader(json, "a signed review", problem);
  ReadMembers(reader, review);
  ReadList(reader, "answers", "an answer", review.answers, problem);
}

Json JsonFrom(const CaseRecord& record) {
  Json json = MembersJson(record);
  json["consent"] = PlainList(record.consent);
  json["extra"] = Json(record.extra);
  json["recordings"] = JsonFrom(record.recordings);
  json["signed_reviews"] = ListFrom(record.signed_reviews);
  return json;
}

Result<CaseRecord> CaseRecordFrom(const Json& json, const std::string& what) {
  CaseRecord record;
  std::string problem;
  ReadRecord(json, record, problem);
  if (!problem.empty()) return UnreadableBecause(what, problem);
  if (const Status sound = Recheck(record); !sound.ok())
    return UnreadableBecause(what, "a value of no sense (" + sound.error().message + ")");
  return record;
}

Result<std::vector<RecordingRef>> RecordingsFrom(const Json& json, const std::string& what) {
  std::vector<RecordingRef> recordings;
  std::string problem;
  if (!json.is_array()) return UnreadableBecause(what, "something other than a list of recordings");
  for (const Json& item : json) ReadMembersOf(item, "a recording", recordings.emplace_back(), problem);
  if (!problem.empty()) return UnreadableBecause(what, problem);
  return recordings;
}

}  // namespace afterscope
