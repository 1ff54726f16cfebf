// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/case_clock.hpp"
#include "annotate/case/review.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/timeline/paint.hpp"
#include "app/desktop/timeline/strip.hpp"

#include <imgui.h>

#include <vector>

namespace afterscope {

// For how long each cover hides its part of the picture, as bars on a strip of the timeline.

struct CoverRecord {
  float left = 0;
  float right = 0;
  MarkId cover;
};

// Whether there is anything to show; the row is there only then.
bool HasCovers(const Review& review);
// Pure. Those in sight, cut to the strip, none narrower than a pixel; in the order of the review.
std::vector<CoverRecord> LayOutCovers(const Strip& strip, const CaseClock& clock, const Review& review);
void PaintCoverLine(const Scene& scene, ImDrawList* list, const std::vector<CoverRecord>& covers,
                    RowSpan row);
// Says what is covered where the pointer is on the line.
void SayCover(const Scene& scene, const std::vector<CoverRecord>& covers, RowSpan row);

}  // namespace afterscope
