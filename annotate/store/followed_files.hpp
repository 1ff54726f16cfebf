// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/followed.hpp"
#include "annotate/store/file_system.hpp"
#include "metrics/base/result.hpp"

#include <string>

namespace afterscope {

// Files of what was followed, in `reviews/ID/followed` (FORMAT.md). Derived: one that can't be read is as
// good as none.
Status SaveFollowed(const std::string& case_folder, const ReviewId& review, const FollowedEye& eye,
                    FileSystem& files);
Status SaveFollowed(const std::string& case_folder, const ReviewId& review, const FollowedTrail& trail,
                    FileSystem& files);

// All that is there, current or not.
Followed LoadFollowed(const std::string& case_folder, const ReviewId& review,
                      FileSystem& files = RealFileSystem());

}  // namespace afterscope
