// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A case folder may come from anybody, and what its links point to lies outside the case and must not be read
// as its own nor touched. The folder itself may be a link, and a recording that the case names may be one.

// Before anything is read: the links in a case folder, as paths inside it. kUnreadable where one stands at a
// place where the program itself reads or writes.
Result<std::vector<std::string>> LinksBesides(const std::string& case_folder);

// When the record is known: refuses each of these links that is not one of its recordings.
Status RefuseUnnamedLinks(const std::string& case_folder, const std::vector<std::string>& links,
                          const CaseRecord& record);

}  // namespace afterscope
