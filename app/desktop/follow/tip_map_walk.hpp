// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/measure/tip_map.hpp"
#include "app/desktop/action_scene.hpp"
#include "app/desktop/picture/picture_panel.hpp"

#include <optional>
#include <string>
#include <vector>

namespace afterscope {

// Which of the maps (at least one) is looked at next: after the last one, if its frame is the one at the
// playhead; else the first of the step that runs there; else the first.
const TipMap& NextTipMap(const std::vector<TipMap>& maps, const std::optional<TipMap>& last,
                         const Review& review, FrameRef at);

// The action "tip map": jumps to the frame of the map of the step that runs at the playhead, which then lies
// over the picture as long as that frame is seen and nothing in the case is changed; from there to the next
// one. Says what it shows, or why there is none. False for any other action.
bool DoTipMap(const std::string& action, const std::vector<TipMap>& maps, PictureState& picture,
              const ActionScene& on);

}  // namespace afterscope
