// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// The review with the covers of all other reviews of its case added (marks of ids that no file holds):
// whoever marked it, what nobody is to see is in no clip and no copy. Of a review that has newer versions the
// newest counts. kUnreadable where another review can't be read, for what it covers is not known then.
Result<Review> WithAllCovers(const std::string& case_folder, Review review, FileSystem& files);

}  // namespace afterscope
