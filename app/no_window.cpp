// SPDX-License-Identifier: Apache-2.0
#include "app/common/window.hpp"
#include "metrics/base/result.hpp"

#include <cstdio>

namespace afterscope {

int OpenWindow(const std::vector<std::string>&) {
  std::fputs("This build has no window; every function is also a command, see --help.\n", stderr);
  return static_cast<int>(ErrorCode::kBadCall);
}

}  // namespace afterscope
