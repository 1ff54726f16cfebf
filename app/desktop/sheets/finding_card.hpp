// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/finding.hpp"
#include "app/desktop/scene.hpp"

#include <string>

namespace afterscope {

// All that is known of a finding, below its row: limits, the frames, marks and scale it comes from (pressing
// one goes there), the method, every caution.
void DrawFindingCard(const Scene& scene, const Finding& finding, const std::string& label,
                     const std::string& value, const std::string& limits);

}  // namespace afterscope
