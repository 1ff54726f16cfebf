// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/score_sheet_file.hpp"

#include "annotate/case/ids.hpp"
#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

namespace afterscope {
namespace {

constexpr std::int64_t kMostSheetBytes = 4LL << 20;
constexpr std::size_t kMostLevels = 100, kMostItems = 1000;
constexpr std::size_t kMostLevelText = 32 << 20;  // of all items, which may share their levels
constexpr std::size_t kMostKey = 31;              // two of them and a '-' make the id of a score

using NamedLevels = std::map<std::string, std::vector<ScoreLevel>>;

std::vector<ScoreLevel> LevelsFrom(const Json& json, std::string& problem) {
  std::vector<ScoreLevel> levels;
  const Json wrapped{{"levels", json}};
  JsonReader(wrapped, "levels", problem).ReadEach("levels", [&](const Json& item) {
    ScoreLevel level;
    JsonReader reader(item, "a level", problem);
    reader.Read("value", level.value);
    reader.Read("name", level.name);
    reader.Read("description", level.description);
    if (levels.size() >= kMostLevels) return reader.Fail("levels", "more than 100 levels");
    levels.push_back(std::move(level));
  });
  std::stable_sort(levels.begin(), levels.end(),
                   [](const ScoreLevel& a, const ScoreLevel& b) { return a.value < b.value; });
  return levels;
}

NamedLevels NamedLevelsOf(const JsonReader& reader, std::string& problem) {
  NamedLevels named;
  if (const Json* levels = reader.Member("levels"); levels && levels->is_object())
    for (const auto& list : levels->items()) named[list.key()] = LevelsFrom(list.value(), problem);
  return named;
}

ScoreItem ItemFrom(const Json& json, const NamedLevels& named, std::string& problem) {
  ScoreItem item;
  JsonReader reader(json, "an item", problem);
  reader.Read("key", item.key);
  reader.Read("name", item.name);
  reader.Read("group", item.group);
  reader.Read("step", item.step);
  reader.Read("weight", item.weight);
  reader.Read("may_not_apply", item.may_not_apply);
  reader.Read("needs_moment", item.needs_moment);
  const Json* levels = reader.Member("levels");
  if (levels && levels->is_string()) {
    if (const auto found = named.find(levels->get<std::string>()); found != named.end())
      item.levels = found->second;
  } else if (levels) {
    item.levels = LevelsFrom(*levels, problem);
  }
  return item;
}

bool IsKey(const std::string& key) { return key.size() <= kMostKey && IsValidIdText(key); }

std::string ProblemOf(const ScoreItem& item, const ScoreSheet& sheet) {
  if (!IsKey(item.key))
    return fmt::format("an item '{}' whose key is not 1 to {} of a-z, 0-9, '-' and '_'", item.key, kMostKey);
  if (item.name.empty()) return fmt::format("an item '{}' without a name", item.key);
  if (item.levels.size() < 2) return fmt::format("an item '{}' with fewer than two levels", item.key);
  if (!(item.weight > 0)) return fmt::format("an item '{}' whose weight is not above 0", item.key);
  const auto same = [](const ScoreLevel& a, const ScoreLevel& b) { return a.value == b.value; };
  if (std::adjacent_find(item.levels.begin(), item.levels.end(), same) != item.levels.end())
    return fmt::format("an item '{}' with two levels of one value", item.key);
  if (sheet.not_applicable && item.Find(*sheet.not_applicable))
    return fmt::format("an item '{}' with a level that also means 'not applicable'", item.key);
  const auto is_its_group = [&](const ScoreGroup& group) { return group.key == item.group; };
  if (!item.group.empty() && std::none_of(sheet.groups.begin(), sheet.groups.end(), is_its_group))
    return fmt::format("an item '{}' of a group '{}' that is not there", item.key, item.group);
  return "";
}

std::string ProblemOf(const ScoreSheet& sheet) {
  if (!IsKey(sheet.id)) return fmt::format("an id that is not 1 to {} of a-z, 0-9, '-' and '_'", kMostKey);
  if (sheet.items.empty()) return "no items";
  std::set<std::string> keys;
  for (const ScoreItem& item : sheet.items) {
    if (std::string problem = ProblemOf(item, sheet); !problem.empty()) return problem;
    if (!keys.insert(item.key).second) return fmt::format("the key '{}' twice", item.key);
  }
  return "";
}

Json JsonFrom(const ScoreItem& item) {
  Json levels = Json::array();
  for (const ScoreLevel& level : item.levels)
    levels.push_back({{"value", level.value}, {"name", level.name}, {"description", level.description}});
  return {{"key", item.key},       {"name", item.name},
          {"group", item.group},   {"step", item.step},
          {"weight", item.weight}, {"may_not_apply", item.may_not_apply},
          {"levels", levels},      {"needs_moment", item.needs_moment}};
}

Json JsonFrom(const ScoreSheet& sheet) {
  Json json{{"id", sheet.id}, {"name", sheet.name}, {"about", sheet.about}};
  if (sheet.not_applicable) json["not_applicable"] = *sheet.not_applicable;
  if (sheet.pass_percent) json["pass_percent"] = *sheet.pass_percent;
  json["groups"] = Json::array();
  for (const ScoreGroup& group : sheet.groups)
    json["groups"].push_back({{"key", group.key}, {"name", group.name}});
  json["items"] = Json::array();
  for (const ScoreItem& item : sheet.items) json["items"].push_back(JsonFrom(item));
  return json;
}

}  // namespace

Result<ScoreSheet> LoadScoreSheetFile(const std::string& path, FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostSheetBytes));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, path));
  ScoreSheet sheet;
  std::string problem;
  JsonReader reader(json, path, problem);
  reader.Read("id", sheet.id);
  reader.Read("name", sheet.name);
  reader.Read("about", sheet.about);
  reader.Read("not_applicable", sheet.not_applicable);
  reader.Read("pass_percent", sheet.pass_percent);
  reader.ReadEach("groups", [&](const Json& item) {
    ScoreGroup group;
    JsonReader inner(item, "a group", problem);
    inner.Read("key", group.key);
    inner.Read("name", group.name);
    sheet.groups.push_back(std::move(group));
  });
  const NamedLevels named = NamedLevelsOf(reader, problem);
  std::size_t level_text = 0;
  reader.ReadEach("items", [&](const Json& item) {
    if (sheet.items.size() >= kMostItems) return reader.Fail("items", "more than 1000 items");
    if (level_text > kMostLevelText) return reader.Fail("items", "too many words");
    sheet.items.push_back(ItemFrom(item, named, problem));
    for (const ScoreLevel& level : sheet.items.back().levels)
      level_text += level.name.size() + level.description.size();
  });
  if (problem.empty()) problem = ProblemOf(sheet);
  if (!problem.empty())
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't read the score sheet '{}': it has {}.", path, problem)};
  return sheet;
}

Result<ScoreSheet> FindScoreSheet(const std::string& path_or_id, const std::string& case_folder,
                                  const std::string& assets_folder, FileSystem& files) {
  if (!IsValidIdText(path_or_id)) return LoadScoreSheetFile(path_or_id, files);
  for (const std::string& folder : {case_folder, assets_folder}) {
    const std::string path = fmt::format("{}/score_sheets/{}.json", folder, path_or_id);
    const auto info = files.Stat(path);
    if (info.ok() && info->type == FileType::kRegular) return LoadScoreSheetFile(path, files);
  }
  return Error{ErrorCode::kUnreadable,
               fmt::format("There is no score sheet '{}'; there are {}, or give the path of a file.",
                           path_or_id, fmt::join(ScoreSheetIds(assets_folder, files), ", "))};
}

Status SaveScoreSheet(const ScoreSheet& sheet, const std::string& path, FileSystem& files) {
  return ReplaceFile(files, path, ReadableText(JsonFrom(sheet)));
}

Status KeepScoreSheet(const ScoreSheet& sheet, const std::string& case_folder, FileSystem& files) {
  const std::string folder = case_folder + "/score_sheets";
  const std::string path = fmt::format("{}/{}.json", folder, sheet.id);
  const std::string text = ReadableText(JsonFrom(sheet));
  if (const auto kept = files.ReadAll(path, kMostSheetBytes); kept.ok() && *kept == text) return {};
  AFTERSCOPE_TRY(files.MakeFolder(folder));
  return ReplaceFile(files, path, text);
}

std::vector<std::string> ScoreSheetIds(const std::string& assets_folder, FileSystem& files) {
  std::vector<std::string> ids;
  const auto names = files.List(assets_folder + "/score_sheets");
  if (!names.ok()) return ids;
  for (const std::string& name : *names)
    if (name.ends_with(".json")) ids.push_back(name.substr(0, name.size() - 5));
  return ids;
}

}  // namespace afterscope
