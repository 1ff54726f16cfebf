// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/scrub_lists.hpp"

#include "annotate/store/json_text.hpp"
#include "annotate/store/score_sheet_file.hpp"
#include "annotate/store/scrub.hpp"
#include "annotate/store/scrub_json.hpp"
#include "annotate/store/step_list_file.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <vector>

namespace afterscope {
namespace {

constexpr std::int64_t kMostListBytes = 64 << 20;

struct ListName {
  std::string path;
  std::string stem;  // without folder and ending
};

// The lists that a folder may hold: its JSON files, but for the record.
std::vector<ListName> ListsIn(FileSystem& files, const std::string& folder) {
  constexpr std::string_view kEnding = ".json";
  std::vector<ListName> lists;
  const auto names = files.List(folder);
  if (!names.ok()) return lists;
  for (const std::string& name : *names) {
    const std::string path = fmt::format("{}/{}", folder, name);
    const auto info = files.Stat(path);
    if (name != "case.json" && name.ends_with(kEnding) && info.ok() && info->type == FileType::kRegular)
      lists.push_back({path, name.substr(0, name.size() - kEnding.size())});
  }
  return lists;
}

template <class Item>
void ScrubNames(std::vector<Item>& items, const std::string& text) {
  for (Item& item : items) item.name = Scrubbed(item.name, text);
}

// Keys that became one are told apart.
void TellKeysApart(Json& json, const char* member) {
  if (!json.contains(member)) return;
  std::set<std::string> taken;
  for (Json& item : json[member]) {
    const std::string key = item["key"].get<std::string>();
    for (int n = 2; !taken.insert(item["key"].get<std::string>()).second; ++n)
      item["key"] = fmt::format("{}-{}", key, n);
  }
}

Status ScrubStepList(FileSystem& files, const std::string& path, const std::string& text) {
  const auto bytes = files.ReadAll(path, kMostListBytes);
  if (!bytes.ok()) return {};
  auto json = ParseJson(*bytes, path);
  if (!json.ok() || !IsStepListFile(path, files) || !ScrubJson(*json, {text})) return {};
  TellKeysApart(*json, "steps");
  TellKeysApart(*json, "checks");
  return ReplaceFile(files, path, ReadableText(*json) + "\n");
}

void ScrubSheet(ScoreSheet& sheet, const std::string& text) {
  sheet.name = Scrubbed(sheet.name, text);
  sheet.about = Scrubbed(sheet.about, text);
  ScrubNames(sheet.groups, text);
  ScrubNames(sheet.items, text);
  for (ScoreItem& item : sheet.items) {
    item.step = Scrubbed(item.step, text);
    ScrubNames(item.levels, text);
    for (ScoreLevel& level : item.levels) level.description = Scrubbed(level.description, text);
  }
}

}  // namespace

Status ScrubLists(FileSystem& files, const std::string& case_folder, const std::string& text) {
  for (const ListName& list : ListsIn(files, case_folder))
    AFTERSCOPE_TRY(ScrubStepList(files, list.path, text));
  for (const ListName& list : ListsIn(files, case_folder + "/score_sheets")) {
    AFTERSCOPE_ASSIGN(const std::string bytes, files.ReadAll(list.path, kMostListBytes));
    if (FindCaseless(bytes, text, TextForm::kJsonEscapes).empty()) continue;
    auto sheet = LoadScoreSheetFile(list.path, files);
    if (sheet.ok()) {
      ScrubSheet(*sheet, text);
      AFTERSCOPE_TRY(SaveScoreSheet(*sheet, list.path, files));
    } else {
      AFTERSCOPE_TRY(ScrubBytes(files, list.path, {text}, kMostListBytes));
    }
  }
  return {};
}

void CollectIdsOfLists(FileSystem& files, const std::string& case_folder, std::set<std::string>& ids) {
  for (const auto& [path, stem] : ListsIn(files, case_folder)) {
    const auto bytes = files.ReadAll(path, kMostListBytes);
    const auto json = ParseJson(bytes.ok() ? *bytes : "", path);
    if (!json.ok() || !IsStepListFile(path, files)) continue;
    ids.insert(stem);
    CollectIds(*json, ids);
  }
  for (const auto& [path, stem] : ListsIn(files, case_folder + "/score_sheets")) {
    ids.insert(stem);
    const auto sheet = LoadScoreSheetFile(path, files);
    if (!sheet.ok()) continue;
    ids.insert(sheet->id);
    for (const ScoreItem& item : sheet->items) ids.insert(item.key);
    for (const ScoreGroup& group : sheet->groups) ids.insert(group.key);
  }
}

}  // namespace afterscope
