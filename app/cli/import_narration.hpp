// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "metrics/base/result.hpp"

#include <string>

namespace CLI {
class App;
}

namespace afterscope {

struct ImportNarrationOptions {
  std::string file;
  std::string language;
  std::string review;
  std::string reviewer;  // code
  double offset = 0;
  bool captions_only = false;
};

void BindNarration(CLI::App& sub, ImportNarrationOptions& options);

// Brings a timed narration into a case: captions, and drafts of what it suggests, which it prints.
Status ImportNarration(const std::string& folder, const ImportNarrationOptions& options);

}  // namespace afterscope
