// SPDX-License-Identifier: Apache-2.0
#include "annotate/clip/voice_takes_json.hpp"

#include "annotate/case/ids.hpp"
#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <utility>

namespace afterscope {
namespace {

constexpr std::int64_t kMostTakesBytes = 64 << 20;
constexpr const char* kFormat = "afterscope voice takes";

std::string ListOf(const std::string& case_folder) { return VoiceFolder(case_folder) + "/takes.json"; }

Json JsonOf(const VoiceTake& take) {
  Json path = Json::array();
  for (const TakeAnchor& anchor : take.path)
    path.push_back({{"seconds", anchor.seconds}, {"at", JsonFrom(anchor.at)}});
  return {{"id", take.id},           {"file", take.file},   {"sha256", take.sha256},
          {"seconds", take.seconds}, {"words", take.words}, {"path", std::move(path)}};
}

TakeAnchor AnchorFrom(const Json& json, std::string& problem) {
  TakeAnchor anchor;
  JsonReader reader(json, "an anchor", problem);
  reader.Read("seconds", anchor.seconds);
  reader.Read("at", anchor.at);
  return anchor;
}

bool IsSane(const VoiceTake& take) {
  if (!IsValidIdText(take.id) || take.path.empty() || !(take.seconds > 0) || !std::isfinite(take.seconds))
    return false;
  // A scrub takes the name of a sound that held a scrubbed word. No name leads out of the folder.
  if (take.file.find_first_of("/\\") != std::string::npos) return false;
  if (!IsTakeFileName(take.file) && take.file.find("scrubbed") == std::string::npos) return false;
  for (std::size_t i = 0; i < take.path.size(); ++i)
    if (!(take.path[i].seconds >= (i == 0 ? 0 : take.path[i - 1].seconds))) return false;
  return true;
}

VoiceTake TakeFrom(const Json& json, std::string& problem) {
  VoiceTake take;
  JsonReader reader(json, "a take", problem);
  reader.Read("id", take.id);
  reader.Read("file", take.file);
  reader.Read("sha256", take.sha256);
  reader.Read("seconds", take.seconds);
  reader.Read("words", take.words);
  reader.ReadEach("path", [&](const Json& anchor) { take.path.push_back(AnchorFrom(anchor, problem)); });
  if (problem.empty() && !IsSane(take)) problem = "a take that makes no sense";
  return take;
}

}  // namespace

std::string VoiceFolder(const std::string& case_folder) { return case_folder + "/clips/voice"; }

bool IsTakeFileName(const std::string& name) {
  if (!name.starts_with("take-") || !name.ends_with(".ogg") || name.size() > 60) return false;
  const std::string middle = name.substr(5, name.size() - 9);
  return !middle.empty() &&
         std::all_of(middle.begin(), middle.end(), [](unsigned char c) { return std::isxdigit(c) != 0; });
}

Result<std::vector<VoiceTake>> LoadTakes(const std::string& case_folder, FileSystem& files) {
  const std::string path = ListOf(case_folder);
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path));
  if (info.type == FileType::kAbsent) return std::vector<VoiceTake>();
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostTakesBytes));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, fmt::format("'{}'", path)));
  std::vector<VoiceTake> takes;
  std::string problem;
  JsonReader reader(json, "the takes", problem);
  std::string format;
  reader.Read("format", format);
  if (problem.empty() && format != kFormat) problem = "another format than voice takes";
  reader.ReadEach("takes", [&](const Json& take) { takes.push_back(TakeFrom(take, problem)); });
  if (!problem.empty())
    return Error{ErrorCode::kUnreadable, fmt::format("Can't read '{}': it has {}.", path, problem)};
  std::stable_sort(takes.begin(), takes.end(),
                   [](const VoiceTake& a, const VoiceTake& b) { return a.start() < b.start(); });
  return takes;
}

Status SaveTakes(const std::string& case_folder, const std::vector<VoiceTake>& takes, FileSystem& files) {
  const std::string path = ListOf(case_folder);
  if (takes.empty()) {
    AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path));
    return info.type == FileType::kAbsent ? Status() : files.Remove(path);
  }
  Json list = Json::array();
  for (const VoiceTake& take : takes) list.push_back(JsonOf(take));
  const Json json{{"format", kFormat}, {"version", "1.0"}, {"takes", std::move(list)}};
  AFTERSCOPE_TRY(MakeFolders(files, VoiceFolder(case_folder)));
  return ReplaceFile(files, path, ReadableText(json));
}

}  // namespace afterscope
