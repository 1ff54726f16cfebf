// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/bottom_line.hpp"
#include "app/desktop/debrief/debrief.hpp"
#include "app/desktop/desk/word_list.hpp"
#include "app/desktop/scene.hpp"

#include <vector>

namespace afterscope {

// How high the words under the picture are: as the longest of the moments' words needs, so that the picture
// stands still from moment to moment, but no more than two fifths of the window.
float DebriefHeight(const Scene& scene, const WordList& complications, float width, float window_height);

// The moment's words, large enough to be read across a room, and where it lies in what is played.
void DrawDebrief(const DebriefState& state, const Scene& scene, const WordList& complications,
                 const ScreenRect& area);

std::vector<KeyHint> DebriefHints(const Scene& scene);

}  // namespace afterscope
