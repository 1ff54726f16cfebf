// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>
#include <vector>

namespace afterscope {

// A case as it lies in its folder, read without opening it: nothing is locked, repaired or written.

struct ReviewSnapshot {
  Review review;              // its trails without points where `has_points` is false
  std::string times_digest;   // of its visits
  std::string marks_digest;   // of its marks, scales and trails, and of what was followed as its files stand
  bool has_followed = false;  // something was followed
  bool has_points = false;
};

struct CaseSnapshot {
  CaseRecord record;
  std::vector<ReviewSnapshot> reviews;  // by id
};

// Takes a checkpoint where it contains the journal's last entry, and replays the journal where it does not.
// A review that can't be read is left out and told in `problem`; kUnreadable where the case can't be read or
// has links (case_links.hpp).
Result<CaseSnapshot> ReadCaseSnapshot(const std::string& folder, std::string& problem,
                                      FileSystem& files = RealFileSystem());

// The review with the points of its trails.
Result<Review> ReadReviewWithPoints(const std::string& folder, const ReviewId& id,
                                    FileSystem& files = RealFileSystem());

// Sizes and times of the files that a case's state is made of; empty where the folder holds no case.
// `reviews`: those that are known; the folder's own time tells when there are others.
std::string StampOfCase(const std::string& folder, const std::vector<std::string>& reviews,
                        FileSystem& files = RealFileSystem());

// The reviews in a case folder, by id.
std::vector<std::string> ReviewsIn(const std::string& folder, FileSystem& files = RealFileSystem());

}  // namespace afterscope
