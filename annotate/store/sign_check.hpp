// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// Whether `by`, a code, may sign a review as it is: it holds something, is not signed yet, is his, and what
// its score sheets ask for is there. Sheets that do not lie with the case are not asked. Empty: nobody said
// who signs, which is refused, since a seal bears a name.
// kBadCall with the first thing that is in the way.
Status CheckMaySign(const Review& review, const std::string& by, const std::string& case_folder,
                    FileSystem& files);

}  // namespace afterscope
