// SPDX-License-Identifier: Apache-2.0
#include "app/common/document_options.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <ctime>

namespace afterscope {

SheetFileOptions DocumentOptions(const std::string& paper) {
  SheetFileOptions options;
  options.paper = paper == "letter" ? Paper::kLetter : Paper::kA4;
  options.made_at = fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(std::time(nullptr)));
  return options;
}

}  // namespace afterscope
