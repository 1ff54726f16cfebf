// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/case_session.hpp"
#include "annotate/store/file_system.hpp"

#include <string>
#include <vector>

namespace afterscope {

// CASEDIR/reviews/ID.
std::string ReviewFolder(const std::string& case_folder, const ReviewId& id);

// The reviews that lie in a case folder, in order of their ids.
std::vector<ReviewId> ListReviews(FileSystem& files, const std::string& case_folder);

// The review to open where none was asked for, as OpenCaseOptions says.
ReviewId ChooseReview(FileSystem& files, const std::string& case_folder, const OpenCaseOptions& options);

// `wanted`, or where that is taken, something after it.
ReviewId FreshReviewId(const std::vector<ReviewId>& taken, std::string wanted);

}  // namespace afterscope
