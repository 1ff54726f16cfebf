// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/desk/view_settings.hpp"

#include "annotate/platform/user_folders.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

namespace afterscope {
namespace {

constexpr std::int64_t kMostSettingsBytes = 1 << 20;
constexpr std::size_t kMostReviews = 100;
constexpr std::size_t kMostRecent = 12;
constexpr double kMostNumber = 1e9;

using Json = nlohmann::json;

// The member as that type, or what was there before.
template <class T>
void Read(const Json& json, const char* member, T& into) {
  const auto found = json.find(member);
  if (found == json.end()) return;
  if constexpr (std::is_same_v<T, bool>) {
    if (found->is_boolean()) into = found->get<bool>();
  } else if constexpr (std::is_arithmetic_v<T>) {
    // A number that the type can't hold has no meaning here, and must not be converted.
    if (found->is_number() && std::abs(found->get<double>()) < kMostNumber)
      into = static_cast<T>(found->get<double>());
  } else {
    if (found->is_string()) into = found->get<std::string>();
  }
}

void ReadClarity(const Json& json, Clarity& clarity) {
  int way = static_cast<int>(clarity.deinterlacing);
  Read(json, "deinterlacing", way);
  clarity.deinterlacing = static_cast<Deinterlacing>(std::clamp(way, 0, 2));
  Read(json, "exposure_stops", clarity.exposure_stops);
  Read(json, "contrast", clarity.contrast);
  Read(json, "local_contrast", clarity.local_contrast);
  clarity = WithinRange(clarity);
}

std::set<std::string> PathsOf(const ViewSettings& settings) {
  std::set<std::string> paths(settings.recent.begin(), settings.recent.end());
  for (const auto& chosen : settings.reviews) paths.insert(chosen.folder);
  if (!settings.blinded_folder.empty()) paths.insert(settings.blinded_folder);
  return paths;
}

bool IsGone(FileSystem& files, const std::string& path) {
  const auto info = files.Stat(path);
  return info.ok() && info->type == FileType::kAbsent;
}

void AgreeWithDisk(ViewSettings& settings, const ViewSettings& disk, FileSystem& files) {
  const std::set<std::string> now = PathsOf(disk);
  const auto dropped = [&](const std::string& path) {
    return !now.contains(path) && (settings.on_disk.contains(path) || IsGone(files, path));
  };
  std::erase_if(settings.recent, dropped);
  std::erase_if(settings.reviews, [&](const auto& chosen) { return dropped(chosen.folder); });
  if (dropped(settings.blinded_folder)) settings.blinded_folder.clear();
  const auto added = [&](const std::string& path) { return !settings.on_disk.contains(path); };
  for (const std::string& path : disk.recent)
    if (added(path) && settings.recent.size() < kMostRecent &&
        std::find(settings.recent.begin(), settings.recent.end(), path) == settings.recent.end())
      settings.recent.push_back(path);
  for (const auto& chosen : disk.reviews)
    if (added(chosen.folder) && settings.reviews.size() < kMostReviews &&
        RememberedReview(settings, chosen.folder).empty())
      settings.reviews.push_back(chosen);
}

}  // namespace

std::string OwnKeysPath() {
  const std::string folder = UserConfigFolder();
  return folder.empty() ? folder : folder + "/keys.json";
}

ViewSettings LoadViewSettings(const std::string& path, FileSystem& files) {
  ViewSettings settings;
  if (path.empty()) return settings;
  const auto text = files.ReadAll(path, kMostSettingsBytes);
  const Json json = text ? Json::parse(*text, nullptr, false) : Json();
  if (!json.is_object()) return settings;
  Read(json, "light", settings.light);
  Read(json, "scale_pct", settings.scale_pct);
  Read(json, "sheet", settings.sheet);
  Read(json, "folded", settings.folded);
  Read(json, "sheet_width", settings.sheet_width);
  Read(json, "moment_seconds", settings.moment_seconds);
  Read(json, "volume_pct", settings.volume_pct);
  Read(json, "muted", settings.muted);
  ReadClarity(json, settings.clarity);
  Read(json, "magnifier", settings.magnifier);
  Read(json, "quiet_line", settings.quiet_line);
  Read(json, "width", settings.width);
  Read(json, "height", settings.height);
  settings.scale_pct = std::clamp(settings.scale_pct, 90, 200);
  settings.sheet_width = SheetWidthInRange(settings.sheet_width);
  settings.moment_seconds = std::clamp(settings.moment_seconds, 0.5, 20.0);
  settings.volume_pct = std::clamp(settings.volume_pct, 0, 100);
  settings.width = std::clamp(settings.width, 640, 16384);
  settings.height = std::clamp(settings.height, 480, 16384);
  const auto recent = json.find("recent");
  if (recent != json.end() && recent->is_array())
    for (const Json& item : *recent)
      if (item.is_string() && settings.recent.size() < kMostRecent)
        settings.recent.push_back(item.get<std::string>());
  Read(json, "reviewer_code", settings.reviewer_code);
  Read(json, "blinded_folder", settings.blinded_folder);
  Read(json, "blinded_formal", settings.blinded_formal);
  const auto reviews = json.find("reviews");
  if (reviews != json.end() && reviews->is_array())
    for (const Json& item : *reviews)
      if (item.is_array() && item.size() == 2 && item[0].is_string() && item[1].is_string() &&
          settings.reviews.size() < kMostReviews)
        settings.reviews.push_back({item[0].get<std::string>(), item[1].get<std::string>()});
  settings.on_disk = PathsOf(settings);
  return settings;
}

Status SaveViewSettings(const std::string& path, ViewSettings& settings, FileSystem& files) {
  if (path.empty()) return {};
  AgreeWithDisk(settings, LoadViewSettings(path, files), files);
  Json reviews = Json::array();
  for (const auto& [folder, review] : settings.reviews) reviews.push_back(Json::array({folder, review}));
  const Json json{{"light", settings.light},
                  {"scale_pct", settings.scale_pct},
                  {"sheet", settings.sheet},
                  {"folded", settings.folded},
                  {"sheet_width", settings.sheet_width},
                  {"volume_pct", settings.volume_pct},
                  {"muted", settings.muted},
                  {"width", settings.width},
                  {"height", settings.height},
                  {"moment_seconds", settings.moment_seconds},
                  {"deinterlacing", static_cast<int>(settings.clarity.deinterlacing)},
                  {"exposure_stops", settings.clarity.exposure_stops},
                  {"contrast", settings.clarity.contrast},
                  {"local_contrast", settings.clarity.local_contrast},
                  {"magnifier", settings.magnifier},
                  {"quiet_line", settings.quiet_line},
                  {"recent", settings.recent},
                  {"reviewer_code", settings.reviewer_code},
                  {"blinded_folder", settings.blinded_folder},
                  {"blinded_formal", settings.blinded_formal},
                  {"reviews", reviews}};
  AFTERSCOPE_TRY(MakeFolders(files, FolderOf(path)));
  AFTERSCOPE_TRY(ReplaceFile(files, path, json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n"));
  settings.on_disk = PathsOf(settings);
  return {};
}

std::string RememberedReview(const ViewSettings& settings, const std::string& folder) {
  const auto found = std::find_if(settings.reviews.begin(), settings.reviews.end(),
                                  [&](const auto& chosen) { return chosen.folder == folder; });
  return found == settings.reviews.end() ? std::string() : found->review;
}

void RememberReview(ViewSettings& settings, const std::string& folder, const std::string& review) {
  ForgetReview(settings, folder);
  settings.reviews.insert(settings.reviews.begin(), {folder, review});
  if (settings.reviews.size() > kMostReviews) settings.reviews.resize(kMostReviews);
}

void ForgetReview(ViewSettings& settings, const std::string& folder) {
  std::erase_if(settings.reviews, [&](const auto& chosen) { return chosen.folder == folder; });
}

void Remember(ViewSettings& settings, const std::string& path) {
  std::erase(settings.recent, path);
  settings.recent.insert(settings.recent.begin(), path);
  if (settings.recent.size() > kMostRecent) settings.recent.resize(kMostRecent);
}

}  // namespace afterscope
