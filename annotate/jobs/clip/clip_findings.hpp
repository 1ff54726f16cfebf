// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"

#include <map>
#include <string>

namespace afterscope {

// What a clip says beside a rhexis outline: by the outline's mark, one line each for its diameters, its
// centration, its circularity and, where the lens edge is marked too, the overlap, with 95 % limits. Marks of
// which nothing can be computed are left out.
std::map<MarkId, std::string> RhexisLines(const CaseRecord& record, const Review& review);

}  // namespace afterscope
