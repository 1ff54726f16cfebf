// SPDX-License-Identifier: Apache-2.0
#include "app/common/assets.hpp"

#include "annotate/platform/program.hpp"

#include <cstdlib>
#include <filesystem>

namespace afterscope {
namespace {

// The folder that the variable names; else PROGRAM/../share/afterscope and `inside`, if it is there; else the
// source's.
std::string FolderOf(const char* variable, const std::string& inside, const std::string& source_folder) {
  if (const char* chosen = std::getenv(variable); chosen && *chosen) return chosen;
  std::error_code ignored;
  const std::string program = ProgramFolder();
  const std::string installed = program + "/../share/afterscope" + inside;
  return !program.empty() && std::filesystem::is_directory(installed, ignored) ? installed : source_folder;
}

}  // namespace

std::string AssetsFolder() { return FolderOf("AFTERSCOPE_ASSETS", "", AFTERSCOPE_SOURCE_ASSETS); }
std::string ShadersFolder() { return FolderOf("AFTERSCOPE_SHADERS", "/shaders", AFTERSCOPE_SOURCE_SHADERS); }

}  // namespace afterscope
