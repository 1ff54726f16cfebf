// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/clip/clip_plan.hpp"
#include "annotate/store/file_system.hpp"

#include <cstddef>
#include <string>

namespace afterscope {

// The covers of a case's other reviews, which are burnt in as well (WithAllCovers).
struct OtherCovers {
  std::size_t count = 0;
  std::string problem;  // a review can't be read: how many there are is not known
};
// Reads the reviews of the case folder.
OtherCovers CoversOfOthers(const std::string& case_folder, const Review& review,
                           FileSystem& files = RealFileSystem());
// As a sentence begins: "3 covers, 2 of them of other reviews,"; empty where there is none.
inline constexpr const char* kNoCover = "No cover is set in any review of this case.";
std::string CoverCount(const Review& review, const OtherCovers& others);

// What the program itself knows about a question of the list that is gone through before the first clip of a
// case is made (assets/sharing.json): by the question's key (consent, covers, sound, names); empty: nothing.
struct ShareFacts {
  const CaseRecord& record;
  const Review& review;
  const OtherCovers& others;
  const ClipPlan& plan;
  std::string purpose;
  std::string today;
};
std::string KnownOf(const std::string& key, const ShareFacts& facts);

}  // namespace afterscope
