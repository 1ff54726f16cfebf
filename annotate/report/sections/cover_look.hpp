// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/overlay/theme.hpp"
#include "metrics/rhexis/overlap.hpp"

#include <string>

namespace afterscope {

// How a state of overlap is shown in a diagram, as it is on the picture: colour and line style.
struct CoverLook {
  Role role;
  LineStyle style;
  const char* text_key;
};

constexpr CoverLook LookOfCover(Overlap kind) {
  switch (kind) {
    case Overlap::kOverlapped:
      return {Role::kOverlapped, LineStyle::kSolid, "cover.overlapped"};
    case Overlap::kBare:
      return {Role::kBare, LineStyle::kDashed, "cover.bare"};
    case Overlap::kUncertain:
      return {Role::kUncertain, LineStyle::kDotted, "cover.uncertain"};
    case Overlap::kHiddenByIris:
      return {Role::kHiddenByIris, LineStyle::kDashDot, "cover.hidden"};
  }
  return {Role::kUncertain, LineStyle::kDotted, "cover.uncertain"};
}

}  // namespace afterscope
