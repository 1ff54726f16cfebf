// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"
#include "metrics/picture/covers.hpp"

#include <string>
#include <vector>

namespace afterscope {

// What of the pictures of a case must not be seen in a blinded review: the covers that any of its reviews
// holds, and burnt-in words that are found.
struct FoundCovers {
  std::vector<std::vector<CoverArea>> covers;  // by recording
  std::string not_kept;  // why the words will have to be looked for again; empty: they need not
};

// What was found is kept in the case's cache folder. A recording that is not at hand has no more than the
// covers of the reviews. Blocks.
Result<FoundCovers> BlindCovers(const std::string& case_folder, const CaseRecord& record,
                                const Progress& progress, const StopQuery& stop,
                                FileSystem& files = RealFileSystem());

}  // namespace afterscope
