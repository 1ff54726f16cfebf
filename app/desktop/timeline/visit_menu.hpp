// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/timeline/timeline_panel.hpp"

namespace afterscope {

// What can be done to a visit, each line with its key: opens with the right button on its band.
void OpenVisitMenu(TimelineState& state, const BandRecord* under);
void DrawVisitMenu(TimelineState& state, const Scene& scene);

}  // namespace afterscope
