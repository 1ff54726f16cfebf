// SPDX-License-Identifier: Apache-2.0
#include "app/common/recent_list.hpp"

#include "annotate/platform/user_folders.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <optional>
#include <utility>

namespace afterscope {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::int64_t kMostListBytes = 1 << 20;
// As app/desktop/desk/view_settings.cpp writes them: a list of paths, one of pairs of a folder and the review
// chosen there, and a folder.
constexpr char kRecent[] = "recent";
constexpr char kReviews[] = "reviews";
constexpr char kBlinded[] = "blinded_folder";

// The settings, if they are there.
std::optional<Json> Load(const std::string& path, FileSystem& files) {
  if (path.empty()) return std::nullopt;
  const auto text = files.ReadAll(path, kMostListBytes);
  if (!text.ok()) return std::nullopt;
  Json json = Json::parse(*text, nullptr, false);
  if (!json.is_object()) return std::nullopt;
  return json;
}

const std::string* TextOf(const Json& json) { return json.get_ptr<const std::string*>(); }

// The path that an item of one of the lists names; null: none.
const std::string* PathOf(const Json& item) {
  return item.is_array() && !item.empty() ? TextOf(item.front()) : TextOf(item);
}

}  // namespace

std::string WindowSettingsPath() {
  const std::string folder = UserConfigFolder();
  return folder.empty() ? folder : folder + "/window.json";
}

std::vector<std::string> RecentPaths(const std::string& settings_path, FileSystem& files) {
  std::vector<std::string> paths;
  const auto json = Load(settings_path, files);
  if (!json) return paths;
  const auto add = [&](const std::string* path) {
    if (path && !path->empty() && std::find(paths.begin(), paths.end(), *path) == paths.end())
      paths.push_back(*path);
  };
  for (const char* list : {kRecent, kReviews})
    if (json->contains(list) && json->at(list).is_array())
      for (const Json& item : json->at(list)) add(PathOf(item));
  if (json->contains(kBlinded)) add(TextOf(json->at(kBlinded)));
  return paths;
}

Status ForgetRecent(const std::string& settings_path, const std::function<bool(const std::string&)>& which,
                    FileSystem& files) {
  auto json = Load(settings_path, files);
  if (!json) return {};
  const auto goes = [&](const std::string* path) { return path && which(*path); };
  const Json before = *json;
  for (const char* list : {kRecent, kReviews}) {
    if (!json->contains(list) || !json->at(list).is_array()) continue;
    Json left = Json::array();
    for (const Json& item : json->at(list))
      if (!goes(PathOf(item))) left.push_back(item);
    json->at(list) = std::move(left);
  }
  if (json->contains(kBlinded) && goes(TextOf(json->at(kBlinded)))) json->at(kBlinded) = "";
  if (*json == before) return {};
  return ReplaceFile(files, settings_path, json->dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
}

}  // namespace afterscope
