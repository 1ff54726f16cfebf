// SPDX-License-Identifier: Apache-2.0
#include "annotate/platform/user_folders.hpp"

#include <cstdlib>
#include <filesystem>

namespace afterscope {
namespace {

std::string FolderFrom(const char* variable, const char* under_home) {
  const auto from = [](const char* name) -> std::filesystem::path {
    const char* value = std::getenv(name);
    return value == nullptr ? "" : value;
  };
  std::filesystem::path folder = from(variable);
  if (!folder.is_absolute()) folder = from("HOME") / under_home;
  return folder.is_absolute() ? (folder / "afterscope").generic_string() : std::string();
}

}  // namespace

std::string UserCacheFolder() { return FolderFrom("XDG_CACHE_HOME", ".cache"); }
std::string UserConfigFolder() { return FolderFrom("XDG_CONFIG_HOME", ".config"); }
std::string UserDataFolder() { return FolderFrom("XDG_DATA_HOME", ".local/share"); }

}  // namespace afterscope
