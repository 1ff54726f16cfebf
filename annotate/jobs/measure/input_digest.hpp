// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/finding.hpp"
#include "annotate/jobs/measure/measure_context.hpp"

#include <string>

namespace afterscope {

// SHA-256 (hex) of everything that the finding was computed from: method and options, marks, trail, scale and
// its mark, visits (for times), and the case's fields that enter.
std::string InputDigest(const MeasureContext& context, const Finding& finding, const Origin& origin);

}  // namespace afterscope
