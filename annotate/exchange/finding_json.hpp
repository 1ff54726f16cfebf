// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/finding.hpp"

#include <nlohmann/json_fwd.hpp>

namespace afterscope {

// A finding as JSON: name, value (null where it can't be computed), unit, low, high, level, step, operator,
// frames, marks, trail, scale, method, cautions, input_digest. Members that do not apply are null or empty,
// never left out.
nlohmann::ordered_json JsonFromFinding(const Finding& finding);

// A frame as {"recording": 0, "ticks": 123456}.
nlohmann::ordered_json JsonFromFrame(FrameRef frame);

}  // namespace afterscope
