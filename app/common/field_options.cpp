// SPDX-License-Identifier: Apache-2.0
#include "app/common/field_options.hpp"

#include <fmt/format.h>

namespace afterscope {

Result<std::pair<std::string, std::string>> NameAndValue(const std::string& text, const std::string& option) {
  const auto equals = text.find('=');
  if (equals == std::string::npos || equals == 0)
    return Error{ErrorCode::kBadCall, fmt::format("Can't read {} '{}': give NAME=VALUE.", option, text)};
  return std::pair{text.substr(0, equals), text.substr(equals + 1)};
}

Result<EditGroup> FieldEdits(const std::vector<std::string>& assignments) {
  EditGroup group{"Set fields", {}};
  for (const std::string& assignment : assignments) {
    AFTERSCOPE_ASSIGN(const auto field, NameAndValue(assignment, "--set"));
    group.edits.emplace_back(SetCaseField{field.first, field.second});
  }
  return group;
}

}  // namespace afterscope
