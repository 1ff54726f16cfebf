// SPDX-License-Identifier: Apache-2.0
#include "app/common/text_output.hpp"

#include "annotate/store/file_system.hpp"

#include <fmt/format.h>

namespace afterscope {

Status WriteOutput(const std::string& path, const std::string& text) {
  if (path != "-") return ReplaceFile(RealFileSystem(), path, text);
  fmt::print("{}", text);
  return {};
}

}  // namespace afterscope
