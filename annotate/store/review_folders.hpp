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

// The other reviews of the case that can be read and in which something is marked: repeated marks tell how
// far marks lie apart (MeasureOptions::others). Nothing else of them may be shown without MayBeShown.
std::vector<Review> MarkedBesides(const std::string& case_folder, const ReviewId& id,
                                  FileSystem& files = RealFileSystem());
// To hand them on; valid as long as `reviews` is.
std::vector<const Review*> PointersTo(const std::vector<Review>& reviews);

// The review to open where none was asked for, as OpenCaseOptions says.
ReviewId ChooseReview(FileSystem& files, const std::string& case_folder, const OpenCaseOptions& options);

// `wanted`, or where that is taken, something after it.
ReviewId FreshReviewId(const std::vector<ReviewId>& taken, std::string wanted);

}  // namespace afterscope
