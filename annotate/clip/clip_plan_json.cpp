// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/clip_plan_json.hpp"

#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <utility>

namespace afterscope {

template <>
struct WordsOf<ClipPartKind> {
  static constexpr std::array<std::string_view, 3> kWords{"stretch", "still", "title"};
};
template <>
struct WordsOf<ClipSound> {
  static constexpr std::array<std::string_view, 3> kWords{"muted", "original", "file"};
};

namespace {

constexpr std::int64_t kMostPlanBytes = 16 << 20;

Json JsonFrom(const ClipView& view) { return {{"x", view.x}, {"y", view.y}, {"zoom", view.zoom}}; }

Json JsonFrom(const ClipNote& note) {
  return {{"from_x", note.from_x}, {"from_y", note.from_y}, {"to_x", note.to_x}, {"to_y", note.to_y},
          {"text", note.text},     {"start", note.start},   {"end", note.end}};
}

ClipNote NoteFrom(const Json& json, std::string& problem) {
  ClipNote note;
  JsonReader reader(json, "a note", problem);
  reader.Read("from_x", note.from_x);
  reader.Read("from_y", note.from_y);
  reader.Read("to_x", note.to_x);
  reader.Read("to_y", note.to_y);
  reader.Read("text", note.text);
  reader.Read("start", note.start);
  reader.Read("end", note.end);
  return note;
}

Json JsonFrom(const ClipPart& part) {
  Json notes = Json::array();
  for (const ClipNote& note : part.notes) notes.push_back(JsonFrom(note));
  return {{"kind", std::string(WordOf(part.kind))},
          {"case_folder", part.case_folder},
          {"review", part.review},
          {"start", afterscope::JsonFrom(part.start)},
          {"end", afterscope::JsonFrom(part.end)},
          {"speed", part.speed},
          {"seconds", part.seconds},
          {"text", part.text},
          {"view", JsonFrom(part.view)},
          {"view_at_end", JsonFrom(part.view_at_end)},
          {"outlines", part.outlines},
          {"dial", part.dial},
          {"findings", part.findings},
          {"trail", part.trail},
          {"timer", part.timer},
          {"captions", part.captions},
          {"fade_seconds", part.fade_seconds},
          {"sound", std::string(WordOf(part.sound))},
          {"sound_file", part.sound_file},
          {"sound_from", part.sound_from},
          {"voice", part.voice},
          {"take", part.take},
          {"take_from", part.take_from},
          {"notes", std::move(notes)}};
}

void ReadView(const JsonReader& part, const char* name, ClipView& view, std::string& problem) {
  const Json* json = part.Member(name);
  if (!json) return;
  JsonReader reader(*json, "a view", problem);
  reader.Read("x", view.x);
  reader.Read("y", view.y);
  reader.Read("zoom", view.zoom);
}

ClipPart PartFrom(const Json& json, std::string& problem) {
  ClipPart part;
  JsonReader reader(json, "a part of the clip", problem);
  reader.Read("kind", part.kind);
  reader.Read("case_folder", part.case_folder);
  reader.Read("review", part.review);
  reader.Read("start", part.start);
  reader.Read("end", part.end);
  reader.Read("speed", part.speed);
  reader.Read("seconds", part.seconds);
  reader.Read("text", part.text);
  ReadView(reader, "view", part.view, problem);
  part.view_at_end = part.view;
  ReadView(reader, "view_at_end", part.view_at_end, problem);
  reader.Read("outlines", part.outlines);
  part.dial = part.outlines;  // as it was before it had a switch of its own
  reader.Read("dial", part.dial);
  reader.Read("findings", part.findings);
  reader.Read("trail", part.trail);
  reader.Read("timer", part.timer);
  reader.Read("captions", part.captions);
  reader.Read("fade_seconds", part.fade_seconds);
  reader.Read("sound", part.sound);
  reader.Read("sound_file", part.sound_file);
  reader.Read("sound_from", part.sound_from);
  reader.Read("voice", part.voice);
  reader.Read("take", part.take);
  reader.Read("take_from", part.take_from);
  reader.ReadEach("notes", [&](const Json& note) { part.notes.push_back(NoteFrom(note, problem)); });
  return part;
}

Status CheckName(const std::string& name) {
  if (IsValidIdText(name)) return {};
  return Error{
      ErrorCode::kBadCall,
      fmt::format("Can't name a clip plan '{}': a name is 1 to 64 of the characters a-z, 0-9, '-' and '_'.",
                  name)};
}

std::string FileOf(const std::string& case_folder, const std::string& name) {
  return fmt::format("{}/clips/{}.json", case_folder, name);
}

}  // namespace

Result<ClipPlan> LoadClipPlan(const std::string& case_folder, const std::string& name, FileSystem& files) {
  AFTERSCOPE_TRY(CheckName(name));
  const std::string path = FileOf(case_folder, name);
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostPlanBytes));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, fmt::format("'{}'", path)));
  ClipPlan plan;
  plan.name = name;
  std::string problem;
  JsonReader reader(json, "a clip plan", problem);
  std::string format;
  reader.Read("format", format);
  if (problem.empty() && format != "afterscope clip plan") problem = "another format than a clip plan";
  reader.Read("width", plan.width);
  reader.Read("height", plan.height);
  reader.Read("rate", plan.rate);
  reader.Read("burn_captions", plan.burn_captions);
  reader.ReadEach("parts", [&](const Json& part) { plan.parts.push_back(PartFrom(part, problem)); });
  if (!problem.empty())
    return Error{ErrorCode::kUnreadable, fmt::format("Can't read '{}': it has {}.", path, problem)};
  return plan;
}

Status SaveClipPlan(const std::string& case_folder, const ClipPlan& plan, FileSystem& files) {
  AFTERSCOPE_TRY(CheckName(plan.name));
  AFTERSCOPE_TRY(CheckPlan(plan));
  Json parts = Json::array();
  for (const ClipPart& part : plan.parts) parts.push_back(JsonFrom(part));
  const Json json{{"format", "afterscope clip plan"},
                  {"version", "1.0"},
                  {"width", plan.width},
                  {"height", plan.height},
                  {"rate", afterscope::JsonFrom(plan.rate)},
                  {"burn_captions", plan.burn_captions},
                  {"parts", std::move(parts)}};
  const std::string text = ReadableText(json);
  if (static_cast<std::int64_t>(text.size()) > kMostPlanBytes)
    return Error{ErrorCode::kBadCall, "The clip plan is longer than 16 MiB and could not be read again."};
  AFTERSCOPE_TRY(MakeFolders(files, case_folder + "/clips"));
  return ReplaceFile(files, FileOf(case_folder, plan.name), text);
}

Status RemoveClipPlan(const std::string& case_folder, const std::string& name, FileSystem& files) {
  AFTERSCOPE_TRY(CheckName(name));
  const std::string path = FileOf(case_folder, name);
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path));
  return info.type == FileType::kAbsent ? Status() : files.Remove(path);
}

std::vector<std::string> ClipPlanNames(const std::string& case_folder, FileSystem& files) {
  std::vector<std::string> names;
  const auto listed = files.List(case_folder + "/clips");
  if (!listed.ok()) return names;
  for (const std::string& name : *listed)
    if (name.ends_with(".json") && IsValidIdText(name.substr(0, name.size() - 5)))
      names.push_back(name.substr(0, name.size() - 5));
  return names;
}

std::vector<std::string> CheckClipPlans(const std::string& case_folder, FileSystem& files) {
  std::vector<std::string> wrong;
  for (const std::string& name : ClipPlanNames(case_folder, files))
    if (const auto plan = LoadClipPlan(case_folder, name, files); !plan.ok())
      wrong.push_back(plan.error().message);
  return wrong;
}

}  // namespace afterscope
