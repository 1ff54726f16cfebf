// SPDX-License-Identifier: Apache-2.0
#include "annotate/store/step_list_file.hpp"

#include "annotate/case/ids.hpp"
#include "annotate/store/json_reader.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <filesystem>
#include <set>

namespace afterscope {
namespace {

constexpr std::int64_t kMostStepListBytes = 4 << 20;
constexpr int kMostExtensions = 8;
constexpr std::size_t kMostSteps = 200;
constexpr std::ptrdiff_t kMostAddOns = 20;
// Keys with a meaning of their own while tagging: zoom, take-over, remark, brackets, full stop, space.
constexpr std::string_view kTaken = "ztm[]. ";

Error UnreadableFile(const std::string& path, const std::string& problem) {
  return {ErrorCode::kUnreadable, fmt::format("Can't read '{}': it has {}.", path, problem)};
}

struct ListFile {
  StepList list;
  std::string extends;
};

Result<ListFile> ReadListFile(FileSystem& files, const std::string& path) {
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostStepListBytes));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, fmt::format("'{}'", path)));
  ListFile file;
  std::string problem;
  JsonReader reader(json, "a step list", problem);
  reader.Read("id", file.list.id);
  reader.Read("name", file.list.name);
  reader.Read("extends", file.extends);
  reader.ReadEach("steps", [&](const Json& item) {
    StepKind step;
    JsonReader fields(item, "a step", problem);
    fields.Read("key", step.key);
    fields.Read("name", step.name);
    fields.Read("shortcut", step.shortcut);
    fields.Read("add_on", step.add_on);
    fields.Read("tip_within", step.tip_within);
    if (!(step.tip_within >= 0 && step.tip_within <= 1)) fields.Fail("tip_within", "no share of 0 to 1");
    if (step.key.empty() || step.name.empty()) fields.Fail("key", "nothing");
    file.list.steps.push_back(std::move(step));
  });
  reader.ReadEach("checks", [&](const Json& item) {
    CheckKind check;
    JsonReader fields(item, "a check", problem);
    fields.Read("key", check.key);
    fields.Read("name", check.name);
    fields.Read("step", check.step);
    if (check.key.empty() || check.name.empty()) fields.Fail("key", "nothing");
    file.list.checks.push_back(std::move(check));
  });
  if (problem.empty() && file.list.steps.size() > kMostSteps)
    problem = fmt::format("more than {} steps", kMostSteps);
  if (!problem.empty()) return UnreadableFile(path, problem);
  return file;
}

std::ptrdiff_t AddOnsIn(const StepList& list) {
  return std::count_if(list.steps.begin(), list.steps.end(),
                       [](const StepKind& step) { return step.add_on; });
}

Status CheckList(const StepList& list, const std::string& path) {
  if (list.steps.size() > kMostSteps || AddOnsIn(list) > kMostAddOns)
    return UnreadableFile(path, fmt::format("more than {} steps or {} add-ons", kMostSteps, kMostAddOns));
  std::set<std::string> keys;
  std::set<std::string> shortcuts;
  for (const StepKind& step : list.steps) {
    if (!keys.insert(step.key).second)
      return UnreadableFile(path, fmt::format("the step '{}' twice", step.key));
    if (step.shortcut.empty()) continue;
    if (!IsFreeForSteps(step.shortcut))
      return UnreadableFile(path, fmt::format("the shortcut '{}', which can't be one", step.shortcut));
    if (!shortcuts.insert(step.shortcut).second)
      return UnreadableFile(path, fmt::format("the shortcut '{}' twice", step.shortcut));
  }
  return {};
}

Result<StepList> Load(FileSystem& files, const std::string& path, int depth) {
  if (depth > kMostExtensions) return UnreadableFile(path, "an extension of itself");
  AFTERSCOPE_ASSIGN(ListFile file, ReadListFile(files, path));
  if (file.extends.empty()) return std::move(file.list);
  if (!IsValidIdText(file.extends)) return UnreadableFile(path, "no valid id in 'extends'");
  const auto folder = std::filesystem::path(path).parent_path();
  AFTERSCOPE_ASSIGN(StepList list, Load(files, (folder / (file.extends + ".json")).string(), depth + 1));
  list.id = file.list.id;
  list.name = file.list.name;
  list.steps.insert(list.steps.end(), file.list.steps.begin(), file.list.steps.end());
  list.checks.insert(list.checks.end(), file.list.checks.begin(), file.list.checks.end());
  return list;
}

Status AppendAddOns(FileSystem& files, const std::string& path, StepList& list) {
  AFTERSCOPE_ASSIGN(const FileInfo info, files.Stat(path));
  if (info.type == FileType::kAbsent) return {};
  AFTERSCOPE_ASSIGN(const StepList add_ons, Load(files, path, 0));
  for (StepKind step : add_ons.steps) {
    if (list.Find(step.key) || list.steps.size() >= kMostSteps || AddOnsIn(list) >= kMostAddOns) continue;
    const bool taken = std::any_of(list.steps.begin(), list.steps.end(),
                                   [&](const StepKind& other) { return other.shortcut == step.shortcut; });
    if (taken) step.shortcut.clear();
    list.steps.push_back(std::move(step));
  }
  return {};
}

Result<StepList> LoadWithAddOns(FileSystem& files, const std::string& path, const std::string& add_ons) {
  AFTERSCOPE_ASSIGN(StepList list, Load(files, path, 0));
  AFTERSCOPE_TRY(AppendAddOns(files, add_ons, list));
  AFTERSCOPE_TRY(CheckList(list, path));
  return list;
}

std::string ListIdOf(const CaseRecord& record) {
  return record.step_list.empty() ? "phacoemulsification" : record.step_list;
}

// The file of that list in the case folder; empty: there is none.
std::string OwnListFile(const std::string& id, const std::string& case_folder, FileSystem& files) {
  if (!IsValidIdText(id) || id == "case") return {};
  std::string own = fmt::format("{}/{}.json", case_folder, id);
  const auto info = files.Stat(own);
  return info.ok() && info->type == FileType::kRegular ? own : std::string();
}

}  // namespace

bool IsFreeForSteps(const std::string& shortcut) {
  return shortcut.size() == 1 && kTaken.find(shortcut) == std::string_view::npos;
}

bool IsStepListFile(const std::string& path, FileSystem& files) {
  const auto list = LoadStepListFile(path, files);
  return list.ok() && !(list->steps.empty() && list->checks.empty());
}

Status SaveStepList(const StepList& list, const std::string& path, FileSystem& files) {
  if (!IsValidIdText(list.id))
    return Error{ErrorCode::kBadCall,
                 fmt::format("Can't keep the step list '{}': that is no id of a list; use "
                             "letters a-z, digits, '-' and '_'.",
                             list.id)};
  AFTERSCOPE_TRY(CheckList(list, path));
  Json json{{"id", list.id}, {"name", list.name}, {"steps", Json::array()}, {"checks", Json::array()}};
  for (const StepKind& step : list.steps) {
    Json item{{"key", step.key}, {"name", step.name}, {"shortcut", step.shortcut}};
    if (step.add_on) item["add_on"] = true;
    if (step.tip_within > 0) item["tip_within"] = step.tip_within;
    json["steps"].push_back(std::move(item));
  }
  for (const CheckKind& check : list.checks)
    json["checks"].push_back({{"key", check.key}, {"name", check.name}, {"step", check.step}});
  return ReplaceFile(files, path, ReadableText(json) + "\n");
}

Result<StepList> LoadStepListFile(const std::string& path, FileSystem& files) {
  const auto folder = std::filesystem::path(path).parent_path();
  return LoadWithAddOns(files, path, (folder / "add_ons.json").string());
}

Result<StepList> LoadStepList(const CaseRecord& record, const std::string& case_folder,
                              const std::string& assets_folder, FileSystem& files) {
  const std::string id = ListIdOf(record);
  if (!IsValidIdText(id))
    return Error{ErrorCode::kUnreadable,
                 fmt::format("Can't load the step list '{}': that is no id of a list.", id)};
  const std::string add_ons = assets_folder + "/step_lists/add_ons.json";
  if (const std::string own = OwnListFile(id, case_folder, files); !own.empty())
    return LoadWithAddOns(files, own, add_ons);
  return LoadWithAddOns(files, fmt::format("{}/step_lists/{}.json", assets_folder, id), add_ons);
}

Status CheckOwnStepList(const CaseRecord& record, const std::string& case_folder, FileSystem& files) {
  const std::string own = OwnListFile(ListIdOf(record), case_folder, files);
  if (own.empty()) return {};
  AFTERSCOPE_ASSIGN(const StepList list, Load(files, own, 0));
  return CheckList(list, own);
}

std::vector<std::string> StepListIds(const std::string& assets_folder, FileSystem& files) {
  std::vector<std::string> ids;
  const auto names = files.List(assets_folder + "/step_lists");
  if (!names.ok()) return ids;
  for (const std::string& name : *names)
    if (name.ends_with(".json") && name != "add_ons.json") ids.push_back(name.substr(0, name.size() - 5));
  return ids;
}

Result<std::vector<NamedKey>> LoadNamedKeys(const std::string& path, const std::string& member,
                                            FileSystem& files) {
  AFTERSCOPE_ASSIGN(const std::string text, files.ReadAll(path, kMostStepListBytes));
  AFTERSCOPE_ASSIGN(const Json json, ParseJson(text, fmt::format("'{}'", path)));
  std::vector<NamedKey> keys;
  std::string problem;
  JsonReader(json, "the file", problem).ReadEach(member.c_str(), [&](const Json& item) {
    NamedKey named;
    JsonReader fields(item, "an item", problem);
    fields.Read("key", named.key);
    fields.Read("name", named.name);
    fields.Read("definition", named.definition);
    fields.Read("least", named.least);
    fields.Read("most", named.most);
    keys.push_back(std::move(named));
  });
  if (!problem.empty()) return UnreadableFile(path, problem);
  return keys;
}

}  // namespace afterscope
