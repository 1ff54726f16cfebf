// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/review.hpp"
#include "annotate/clip/clip_plan.hpp"

#include <string>

namespace afterscope {

// What the program itself knows about a question of the list that is gone through before the first clip of a
// case is made (assets/sharing.json): by the question's key (consent, covers, sound, names); empty: nothing.
struct ShareFacts {
  const CaseRecord& record;
  const Review& review;
  const ClipPlan& plan;
  std::string purpose;
  std::string today;
};
std::string KnownOf(const std::string& key, const ShareFacts& facts);

}  // namespace afterscope
