// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/store/file_system.hpp"

#include <string>
#include <vector>

namespace afterscope {

struct SealCheck {
  std::vector<std::string> wrong;  // one sentence each
  std::vector<std::string> notes;
};

// Whether each signed review is the one that was signed, and unchanged since: the entry by which it was
// signed is the last of its journal but for scrubs, and its digest is the seal that the case and the next
// version keep (after a scrub, the digest that the scrub notes). That entry seals all before it, since
// entries are chained. What tells of a history that was lost or changed from outside, also after the case was
// brought in order: a journal that was recovered, files put aside (of a formal or signed review and the case
// that has one: wrong, since there the history is part of the evidence; of any other: a note).
SealCheck CheckSeals(const std::string& case_folder, const CaseRecord& record, FileSystem& files);

}  // namespace afterscope
