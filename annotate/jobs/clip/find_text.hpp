// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_record.hpp"
#include "annotate/case/edit.hpp"
#include "metrics/base/result.hpp"
#include "metrics/base/time.hpp"
#include "metrics/picture/fixed_text.hpp"

#include <functional>
#include <string>
#include <vector>

namespace afterscope {

struct FoundText {
  FrameRef at;  // a frame of its recording
  TextArea area;
};

// Looks for burnt-in words and clocks in pictures spread over each recording of a case. A recording that is
// not at hand is passed over; fails if none is. Blocks.
Result<std::vector<FoundText>> FindBurntInText(const std::string& case_folder, const CaseRecord& record,
                                               const Progress& progress, const StopQuery& stop);

// One edit that covers all of them, each by a mark of its own.
EditGroup CoverEdits(const std::vector<FoundText>& found, const std::function<MarkId()>& new_mark);

}  // namespace afterscope
