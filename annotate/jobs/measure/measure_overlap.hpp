// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure/measure_context.hpp"

#include <string>
#include <vector>

namespace afterscope {

// How far the capsule covers the edge of the lens optic that is marked on the rhexis' frame.
void MeasureOverlap(const MeasureContext& context, const std::string& prefix, const MarkedOutline& rhexis,
                    std::vector<Finding>& out);

// The same findings as null, with the reason, where there is no such rhexis outline.
void AddNoOverlap(const MeasureContext& context, const std::string& prefix, const std::string& reason,
                  std::vector<Finding>& out);

}  // namespace afterscope
