// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_panel.hpp"

#include <string>

namespace afterscope {

// The actions "cover from here", "cover to here" (with the frame that is shown), "cover throughout", "cover
// shape" and "cover all but eye", about the cover that is meant at the playhead; false for any other action.
bool DoCover(const std::string& action, const PictureState& picture, const Scene& scene, EditQueue& edits);

// For how long it hides what it hides, in words: "the whole recording", "from 0:12.0 to 0:40.0".
std::string CoverWords(const Mark& cover, const Scene& scene);

}  // namespace afterscope
