// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"
#include "annotate/case/step_list.hpp"

#include <functional>

namespace afterscope {

// A check gets a state. What was seen (done or not done) is pinned to `at` as a moment; a state that was seen
// nowhere ("not visible", "not reviewed") has none. An earlier pin of the same check goes.
Result<EditGroup> SetCheckSeen(const Review& review, const CheckKind& check, CheckState state, FrameRef at,
                               const std::function<MomentId()>& new_id);

// Where a check was seen last; null: it is pinned nowhere.
const Moment* PinOfCheck(const Review& review, const std::string& check);

}  // namespace afterscope
