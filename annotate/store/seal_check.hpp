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
// entries are chained. Whether the history of a formal review was lost, since there it is part of the
// evidence.
SealCheck CheckSeals(const std::string& case_folder, const CaseRecord& record, FileSystem& files);

}  // namespace afterscope
