// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <string_view>

namespace afterscope {

// Something that reads bytes which may come from anyone. It must take every input without a crash, a
// sanitizer's complaint or an exception; what it reads again it must read as the same.
struct FuzzTarget {
  const char* name;  // also of the folder of its seeds in tests/data/seeds
  void (*run)(std::string_view bytes);
  int changed_per_seed = 2000;  // where seeds are replayed
};

std::span<const FuzzTarget> FuzzTargets();

}  // namespace afterscope
