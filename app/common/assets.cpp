// SPDX-License-Identifier: Apache-2.0
#include "app/common/assets.hpp"

#include <cstdlib>
#include <filesystem>

namespace afterscope {

std::string AssetsFolder() {
  if (const char* chosen = std::getenv("AFTERSCOPE_ASSETS"); chosen && *chosen) return chosen;
  std::error_code ignored;
  if (std::filesystem::is_directory(AFTERSCOPE_SOURCE_ASSETS, ignored)) return AFTERSCOPE_SOURCE_ASSETS;
  return AFTERSCOPE_INSTALLED_ASSETS;
}

}  // namespace afterscope
