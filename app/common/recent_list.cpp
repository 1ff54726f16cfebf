// SPDX-License-Identifier: Apache-2.0
#include "app/common/recent_list.hpp"

#include "annotate/platform/user_folders.hpp"

#include <nlohmann/json.hpp>

#include <optional>

namespace afterscope {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::int64_t kMostBytes = 1 << 20;
constexpr char kMember[] = "recent";

// The settings, if they are there and have a list.
std::optional<Json> Load(const std::string& path, FileSystem& files) {
  if (path.empty()) return std::nullopt;
  const auto text = files.ReadAll(path, kMostBytes);
  if (!text.ok()) return std::nullopt;
  Json json = Json::parse(*text, nullptr, false);
  if (!json.is_object() || !json.contains(kMember) || !json[kMember].is_array()) return std::nullopt;
  return json;
}

}  // namespace

std::string WindowSettingsPath() {
  const std::string folder = UserConfigFolder();
  return folder.empty() ? folder : folder + "/window.json";
}

std::vector<std::string> RecentPaths(const std::string& settings_path, FileSystem& files) {
  std::vector<std::string> paths;
  if (const auto json = Load(settings_path, files))
    for (const Json& item : (*json)[kMember])
      if (item.is_string()) paths.push_back(item.get<std::string>());
  return paths;
}

Status ForgetRecent(const std::string& settings_path, const std::function<bool(const std::string&)>& which,
                    FileSystem& files) {
  auto json = Load(settings_path, files);
  if (!json) return {};
  Json& recent = (*json)[kMember];
  Json left = Json::array();
  for (const Json& item : recent)
    if (!item.is_string() || !which(item.get<std::string>())) left.push_back(item);
  if (left.size() == recent.size()) return {};
  recent = std::move(left);
  return ReplaceFile(files, settings_path, json->dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
}

}  // namespace afterscope
