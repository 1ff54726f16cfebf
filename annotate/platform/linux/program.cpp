// SPDX-License-Identifier: Apache-2.0
#include "annotate/platform/program.hpp"

#include <filesystem>

namespace afterscope {

std::string ProgramFolder() {
  std::error_code unknown;
  const std::filesystem::path program = std::filesystem::read_symlink("/proc/self/exe", unknown);
  return unknown ? std::string() : program.parent_path().string();
}

}  // namespace afterscope
