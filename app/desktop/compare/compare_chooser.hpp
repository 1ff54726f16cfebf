// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/common/job_runner.hpp"
#include "app/desktop/desk/case_shelf.hpp"
#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Which case is to be looked at beside the open one.
struct CompareChooser {
  bool open = false;
  JobHandle looking;             // for the cases
  std::string step;              // its name, for the screen
  std::vector<ShelfCase> cases;  // those that can be chosen
  std::size_t cursor = 0;
  std::string chosen;  // a folder, once it was pressed; empty: none yet

  void MoveCursor(int by);
  // The cases of a shelf that have a recording and are not reviewed blinded by that reviewer; the open one
  // only where it has the step twice.
  void Offer(const std::vector<ShelfCase>& shelf, const std::string& open_folder, bool open_has_twice,
             const std::string& reviewer_code);
};

// The list over the picture; nothing where it is not open.
void DrawChooser(CompareChooser& state, const Scene& scene, const ScreenRect& area);

}  // namespace afterscope
