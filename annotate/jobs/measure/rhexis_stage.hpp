// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/review.hpp"
#include "metrics/base/plane.hpp"

namespace afterscope {

// At which depth an outline of the rhexis lies, and how its findings are called.
struct RhexisStage {
  const char* prefix;
  Plane plane;
};
inline constexpr RhexisStage kAtCompletion{"rhexis.", Plane::kCapsule},
    kOverOptic{"rhexis.over_optic.", Plane::kLens};

inline RhexisStage StageOf(const Mark& rhexis) {
  const auto stage = rhexis.fields.find("stage");
  return stage != rhexis.fields.end() && stage->second == "over optic" ? kOverOptic : kAtCompletion;
}

}  // namespace afterscope
