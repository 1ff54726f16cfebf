// SPDX-License-Identifier: Apache-2.0
#include "app/common/document_options.hpp"

#include "annotate/store/journal.hpp"

#include <fmt/format.h>

namespace afterscope {

SheetFileOptions DocumentOptions(const std::string& paper) {
  SheetFileOptions options;
  options.paper = paper == "letter" ? Paper::kLetter : Paper::kA4;
  options.made_at = UtcNow();
  return options;
}

}  // namespace afterscope
