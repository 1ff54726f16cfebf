// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <utility>
#include <vector>

namespace afterscope {

// "NAME=VALUE" as given to --set, --field, --check.
Result<std::pair<std::string, std::string>> NameAndValue(const std::string& text, const std::string& option);

// The edits of several --set FIELD=VALUE; refused as by CheckKnownFields.
Result<EditGroup> FieldEdits(const std::vector<std::string>& assignments);

// Whether each field extra.NAME that the edits set and that assets/outcomes.json knows is a value of it.
Status CheckKnownFields(const EditGroup& group);

}  // namespace afterscope
