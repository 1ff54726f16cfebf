// SPDX-License-Identifier: Apache-2.0
#include "app/common/field_options.hpp"

#include "annotate/jobs/series/series_outcome_table.hpp"
#include "app/common/assets.hpp"

#include <fmt/format.h>

#include <optional>
#include <string_view>

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
  AFTERSCOPE_TRY(CheckKnownFields(group));
  return group;
}

Status CheckKnownFields(const EditGroup& group) {
  constexpr std::string_view kOwn = "extra.";
  std::optional<KnownColumns> known;
  for (const Edit& edit : group.edits) {
    const auto* set = std::get_if<SetCaseField>(&edit);
    if (!set || !set->field.starts_with(kOwn)) continue;
    if (!known) {
      AFTERSCOPE_ASSIGN(known, LoadKnownColumns(AssetsFolder()));
    }
    const std::string name = set->field.substr(kOwn.size());
    if (const auto field = KnownField(*known, name)) AFTERSCOPE_TRY(KnownFieldEdit(*field, name, set->text));
  }
  return {};
}

}  // namespace afterscope
