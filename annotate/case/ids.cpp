// SPDX-License-Identifier: Apache-2.0
#include "annotate/case/ids.hpp"

#include <algorithm>

namespace afterscope {

bool IsValidIdText(const std::string& text) {
  const auto allowed = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
  };
  return !text.empty() && text.size() <= 64 && std::all_of(text.begin(), text.end(), allowed);
}

}  // namespace afterscope
