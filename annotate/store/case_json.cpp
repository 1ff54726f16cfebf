// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/case_json.hpp"

#include "annotate/case/case_fields.hpp"
#include "annotate/case/edit_checks.hpp"
#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>

#include <utility>

namespace afterscope {
namespace {

Json JsonFrom(const RecordingRef& recording) {
  const RecordingShape& shape = recording.shape;
  return {{"path", recording.path},
          {"size", recording.fingerprint.size},
          {"sampled_sha256", recording.fingerprint.sampled_sha256},
          {"full_sha256", recording.fingerprint.full_sha256},
          {"time_base", afterscope::JsonFrom(shape.time_base)},
          {"first", shape.first.ticks},
          {"end", shape.end.ticks},
          {"width", shape.width},
          {"height", shape.height},
          {"pixel_aspect", afterscope::JsonFrom(shape.pixel_aspect)},
          {"rotation_deg", shape.rotation_deg},
          {"verified", shape.verified}};
}

RecordingRef ReadRecording(const Json& json, std::string& problem) {
  RecordingRef recording;
  JsonReader reader(json, "a recording", problem);
  reader.Read("path", recording.path);
  reader.Read("size", recording.fingerprint.size);
  reader.Read("sampled_sha256", recording.fingerprint.sampled_sha256);
  reader.Read("full_sha256", recording.fingerprint.full_sha256);
  reader.Read("time_base", recording.shape.time_base);
  reader.Read("first", recording.shape.first);
  reader.Read("end", recording.shape.end);
  reader.Read("width", recording.shape.width);
  reader.Read("height", recording.shape.height);
  reader.Read("pixel_aspect", recording.shape.pixel_aspect);
  reader.Read("rotation_deg", recording.shape.rotation_deg);
  reader.Read("verified", recording.shape.verified);
  return recording;
}

Json JsonFrom(const Consent& consent) {
  return {{"purpose", consent.purpose},
          {"given", consent.given},
          {"withdrawn", consent.withdrawn},
          {"delete_by", consent.delete_by}};
}

Consent ReadConsent(const Json& json, std::string& problem) {
  Consent consent;
  JsonReader reader(json, "a consent", problem);
  reader.Read("purpose", consent.purpose);
  reader.Read("given", consent.given);
  reader.Read("withdrawn", consent.withdrawn);
  reader.Read("delete_by", consent.delete_by);
  return consent;
}

void ReadRecord(const Json& json, CaseRecord& record, std::string& problem) {
  JsonReader reader(json, "the case", problem);
  reader.Read("code", record.code);
  reader.Read("date", record.date);
  reader.Read("eye", record.eye);
  reader.Read("operation", record.operation);
  reader.Read("step_list", record.step_list);
  reader.Read("operator_code", record.operator_code);
  reader.Read("operator_role", record.operator_role);
  reader.Read("supervisor_code", record.supervisor_code);
  reader.Read("supervision_level", record.supervision_level);
  reader.Read("difficulty", record.difficulty);
  reader.Read("planned_rhexis_mm", record.planned_rhexis_mm);
  reader.Read("planned_rhexis_kind", record.planned_rhexis_kind);
  reader.Read("optic_diameter_mm", record.optic_diameter_mm);
  reader.Read("corneal_diameter_mm", record.corneal_diameter_mm);
  reader.Read("corneal_power_d", record.corneal_power_d);
  reader.Read("chamber_depth_mm", record.chamber_depth_mm);
  reader.Read("seat_clock_hour", record.seat_clock_hour);
  reader.Read("picture_mirrored", record.picture_mirrored);
  reader.Read("picture_turned_deg", record.picture_turned_deg);
  reader.Read("orientation_confirmed", record.orientation_confirmed);
  reader.ReadEach("consent", [&](const Json& item) { record.consent.push_back(ReadConsent(item, problem)); });
  reader.Read("extra", record.extra);
  reader.ReadEach("recordings",
                  [&](const Json& item) { record.recordings.push_back(ReadRecording(item, problem)); });
}

Error Unreadable(const std::string& what, const std::string& problem) {
  return {ErrorCode::kUnreadable, fmt::format("Can't read {}: it has {}.", what, problem)};
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
  return CheckEdit(SetRecordings{record.recordings});
}

}  // namespace

Json JsonFrom(const std::vector<RecordingRef>& recordings) {
  Json list = Json::array();
  for (const RecordingRef& recording : recordings) list.push_back(JsonFrom(recording));
  return list;
}

Json JsonFrom(const CaseRecord& record) {
  Json consent = Json::array();
  for (const Consent& one : record.consent) consent.push_back(JsonFrom(one));
  return {{"code", record.code},
          {"date", record.date},
          {"eye", JsonFrom(record.eye)},
          {"operation", record.operation},
          {"step_list", record.step_list},
          {"operator_code", record.operator_code},
          {"operator_role", record.operator_role},
          {"supervisor_code", record.supervisor_code},
          {"supervision_level", record.supervision_level},
          {"difficulty", record.difficulty},
          {"planned_rhexis_mm", JsonFrom(record.planned_rhexis_mm)},
          {"planned_rhexis_kind", JsonFrom(record.planned_rhexis_kind)},
          {"optic_diameter_mm", JsonFrom(record.optic_diameter_mm)},
          {"corneal_diameter_mm", JsonFrom(record.corneal_diameter_mm)},
          {"corneal_power_d", JsonFrom(record.corneal_power_d)},
          {"chamber_depth_mm", JsonFrom(record.chamber_depth_mm)},
          {"seat_clock_hour", JsonFrom(record.seat_clock_hour)},
          {"picture_mirrored", record.picture_mirrored},
          {"picture_turned_deg", record.picture_turned_deg},
          {"orientation_confirmed", record.orientation_confirmed},
          {"consent", consent},
          {"extra", Json(record.extra)},
          {"recordings", JsonFrom(record.recordings)}};
}

Result<CaseRecord> CaseRecordFrom(const Json& json, const std::string& what) {
  CaseRecord record;
  std::string problem;
  ReadRecord(json, record, problem);
  if (!problem.empty()) return Unreadable(what, problem);
  if (const Status sound = Recheck(record); !sound.ok())
    return Unreadable(what, "a value of no sense (" + sound.error().message + ")");
  return record;
}

Result<std::vector<RecordingRef>> RecordingsFrom(const Json& json, const std::string& what) {
  std::vector<RecordingRef> recordings;
  std::string problem;
  if (!json.is_array()) return Unreadable(what, "something other than a list of recordings");
  for (const Json& item : json) recordings.push_back(ReadRecording(item, problem));
  if (!problem.empty()) return Unreadable(what, problem);
  return recordings;
}

}  // namespace afterscope
