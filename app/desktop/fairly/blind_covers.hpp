// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"
#include "metrics/picture/covers.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What of the pictures of a case must not be seen in a blinded review, by recording: the covers that any of
// its reviews holds, and burnt-in words that are found. What was found is kept in the case's cache folder. A
// recording that is not at hand has no more than the covers of the reviews. Blocks.
Result<std::vector<std::vector<CoverArea>>> BlindCovers(const std::string& case_folder,
                                                        const CaseRecord& record, const Progress& progress,
                                                        const StopQuery& stop);

}  // namespace afterscope
