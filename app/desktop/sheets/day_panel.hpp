// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/desk/day_table.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

namespace afterscope {

struct DayState {
  bool open = false;
  std::string folder;
  std::vector<DayRow> rows;
  int row = 0;  // the cell that has the keyboard
  int column = 2;
  bool wants_focus = false;
  JobHandle job;  // looking at the folder, or making the cases
};

// The day's folder as one table over the picture, for the keyboard: Tab to the next cell, Enter down (taking
// the cell's text into an empty one below), Ctrl+Enter makes the cases, Esc leaves it.
void DrawDayTable(DayState& state, const Scene& scene, const ScreenRect& area);

}  // namespace afterscope
