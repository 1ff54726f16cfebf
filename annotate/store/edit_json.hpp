// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/store/json_text.hpp"
#include "metrics/base/result.hpp"

namespace afterscope {

// FORMAT.md, section Edits.
Json JsonFrom(const Edit& edit);
Json JsonFrom(const std::vector<Edit>& edits);

// kUnreadable for an edit of an unknown name or form; `what` names the text in the sentence.
Result<std::vector<Edit>> EditsFrom(const Json& json, const std::string& what);

// The groups of a file for `tag --edits`.
Result<std::vector<EditGroup>> EditGroupsFrom(const Json& json, const std::string& what);

}  // namespace afterscope
