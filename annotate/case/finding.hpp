// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/ids.hpp"
#include "metrics/base/estimate.hpp"
#include "metrics/base/time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// A computed value and where it comes from. `measured.estimate` empty: it can't be computed, and cautions say
// why.
struct Finding {
  std::string name;  // "rhexis.circularity", "step.time" ...
  Measured measured;
  std::optional<std::string> step;  // key of the step it belongs to
  std::optional<std::string> operator_code;
  std::vector<FrameRef> frames;  // that it was computed from
  std::vector<MarkId> marks;
  std::optional<TrailId> trail;
  std::optional<ScaleId> scale;
  std::string input_digest;  // SHA-256 (hex) of what it was computed from
};

}  // namespace afterscope
