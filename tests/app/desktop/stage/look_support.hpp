// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "tests/app/desktop/stage/stage_support.hpp"

#include <string>

namespace afterscope {

// Pictures of the window that are only looked at, in the folder AFTERSCOPE_LOOK; where AFTERSCOPE_LOOK_AT is
// given, only those whose name contains it, such as "_720_100_".

// How a window is looked at.
struct LookSize {
  int width = 1280;
  int height = 720;
  int percent = 100;  // of the text
  bool light = false;
};
// Three sizes of the window, four of the text, light and dark.
std::vector<LookSize> AllLooks();
// "long_720_100_dark"
std::string LookName(const std::string& what, const LookSize& size);
bool IsLookWanted(const std::string& name);

// A window of that size, text and colours.
std::unique_ptr<Stage> StageFor(const LookSize& size);
// The window as it is, once it has settled, where such a picture is wanted.
void LeaveLook(Stage& stage, const std::string& name);

}  // namespace afterscope
