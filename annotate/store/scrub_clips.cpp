// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/scrub_clips.hpp"

#include "annotate/store/clips_lock.hpp"
#include "annotate/store/json_reader.hpp"
#include "annotate/store/scrub.hpp"
#include "annotate/store/scrub_json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <string_view>

namespace afterscope {
namespace {

constexpr std::int64_t kMostWordsBytes = 64 << 20;

bool Holds(const std::string& name, const std::string& text) { return !FindCaseless(name, text).empty(); }

bool EndsIn(const std::string& name, std::initializer_list<std::string_view> endings) {
  return std::any_of(endings.begin(), endings.end(),
                     [&](std::string_view ending) { return name.ends_with(ending); });
}

// Names of the files in a folder; none where it is not there.
std::vector<std::string> FilesIn(FileSystem& files, const std::string& folder) {
  std::vector<std::string> names;
  const auto listed = files.List(folder);
  if (!listed.ok()) return names;
  for (const std::string& name : *listed) {
    const auto info = files.Stat(folder + "/" + name);
    if (info.ok() && info->type == FileType::kRegular) names.push_back(name);
  }
  return names;
}

// A name without its ending that no file of the folder has.
std::string FreeStem(FileSystem& files, const std::string& folder, const std::string& text) {
  const std::vector<std::string> names = FilesIn(files, folder);
  for (int n = 1;; ++n) {
    std::string stem = n == 1 ? "scrubbed" : fmt::format("scrubbed-{}", n);
    const bool taken = std::any_of(names.begin(), names.end(),
                                   [&](const std::string& name) { return name.starts_with(stem + "."); });
    if (!taken && !Holds(stem, text)) return stem;
  }
}

// One file of words; true: it held the text.
Result<bool> ScrubFile(FileSystem& files, const std::string& path, const std::string& text) {
  AFTERSCOPE_ASSIGN(const std::string before, files.ReadAll(path, kMostWordsBytes));
  std::string after;
  if (auto json = ParseJson(before, path); path.ends_with(".json") && json.ok()) {
    if (!ScrubJson(*json, {text})) return false;
    after = ReadableText(*json);
  } else {
    after = Scrubbed(before, text, path.ends_with(".json") ? TextForm::kJsonEscapes : TextForm::kPlain);
    if (after == before) return false;
  }
  AFTERSCOPE_TRY(ReplaceFile(files, path, after));
  return true;
}

// The sounds of takes whose words hold the text go with them.
Result<bool> ScrubTakes(FileSystem& files, const std::string& folder, const std::string& text) {
  const std::string path = folder + "/takes.json";
  const auto bytes = files.ReadAll(path, kMostWordsBytes);
  if (!bytes.ok()) return false;
  auto json = ParseJson(*bytes, path);
  if (!json.ok() || !json->is_object() || !json->contains("takes") || !(*json)["takes"].is_array())
    return ScrubFile(files, path, text);
  std::vector<std::string> gone;
  for (Json& take : (*json)["takes"]) {
    if (!ScrubJson(take, {text})) continue;
    const auto file = take.find("file");
    if (file != take.end() && file->is_string()) gone.push_back(file->get<std::string>());
    take["file"] = std::string(kPutInstead);
    take["sha256"] = "";
  }
  if (gone.empty()) return false;
  AFTERSCOPE_TRY(ReplaceFile(files, path, ReadableText(*json)));
  for (const std::string& name : FilesIn(files, folder))
    if (std::find(gone.begin(), gone.end(), name) != gone.end())
      AFTERSCOPE_TRY(files.Remove(folder + "/" + name));
  return true;
}

}  // namespace

Status ScrubClips(FileSystem& files, const std::string& case_folder, const std::string& text,
                  bool record_changed) {
  const std::string folder = case_folder + "/clips";
  AFTERSCOPE_ASSIGN(const FileInfo there, files.Stat(folder));
  if (there.type == FileType::kAbsent) return {};
  AFTERSCOPE_ASSIGN(const auto lock, LockClips(files, case_folder));
  bool changed = record_changed;
  AFTERSCOPE_ASSIGN(const bool takes, ScrubTakes(files, folder + "/voice", text));
  changed = changed || takes;
  const std::vector<std::string> names = FilesIn(files, folder);
  std::map<std::string, std::string> fresh_stems;  // a plan and its captions keep one name
  for (const std::string& name : names) {
    const std::string path = folder + "/" + name;
    if (IsTemporaryName(name)) {
      AFTERSCOPE_TRY(files.Remove(path));
    } else if (EndsIn(name, {".json", ".vtt", ".srt"})) {
      AFTERSCOPE_ASSIGN(const bool held, ScrubFile(files, path, text));
      changed = changed || held;
      const std::string stem = name.substr(0, name.rfind('.'));
      if (!Holds(stem, text)) continue;
      std::string& fresh = fresh_stems[stem];
      if (fresh.empty()) fresh = FreeStem(files, folder, text);
      AFTERSCOPE_TRY(files.Rename(path, fmt::format("{}/{}{}", folder, fresh, name.substr(stem.size()))));
    }
  }
  for (const std::string& name : names)
    if (EndsIn(name, {".mp4", ".webm", ".png"}) && (changed || Holds(name, text)))
      AFTERSCOPE_TRY(files.Remove(folder + "/" + name));
  for (const std::string& name : FilesIn(files, folder + "/sounds"))
    if (Holds(name, text)) AFTERSCOPE_TRY(files.Remove(folder + "/sounds/" + name));
  return {};
}

}  // namespace afterscope
