// SPDX-License-Identifier: Apache-2.0
#include "tests/support/temporary_folder.hpp"

#include <stdexcept>
#include <system_error>
#include <unistd.h>

namespace afterscope {

TemporaryFolder::TemporaryFolder()
    : path_((std::filesystem::temp_directory_path() / "afterscope-XXXXXX").string()) {
  if (!::mkdtemp(path_.data())) throw std::runtime_error("no temporary folder");
}

TemporaryFolder::~TemporaryFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

}  // namespace afterscope
