// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/store/case_session.hpp"
#include "annotate/store/document.hpp"
#include "annotate/store/file_system.hpp"

#include <optional>
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

struct ChosenReview {
  ReviewId id;
  std::optional<Document> document;  // loaded; empty where it is not there yet, or can't be read
  Document::Found found;
};

// The review to open where none was asked for, as OpenCaseOptions says. `being_written`: as for
// Document::Load.
ChosenReview ChooseReview(FileSystem& files, const std::string& case_folder, const OpenCaseOptions& options,
                          bool being_written);

// `wanted`, or where that is taken, something after it.
ReviewId FreshReviewId(const std::vector<ReviewId>& taken, std::string wanted);

}  // namespace afterscope
