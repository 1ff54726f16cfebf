// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_options.hpp"
#include "app/desktop/bottom_line.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/series/stretch_walk.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"
#include "app/desktop/sheets/text_field.hpp"

#include <string>
#include <vector>

namespace afterscope {

// Stretches across the cases of a folder, by step, complication, check or words, played one after another
// over the picture. One thread.
class FindPanel {
 public:
  explicit FindPanel(const SheetCalls& calls) : calls_(calls) {}

  bool Do(const std::string& action, const Scene& scene);
  void Draw(const Scene& scene, const std::string& folder, const SeriesFilter& filter);
  std::vector<KeyHint> Hints(const Scene& scene) const;
  void Enter() { wants_field_ = true; }  // its page is opened: its first field is to be typed in
  void Leave() { walk_.Stop(); }         // another sheet is shown

 private:
  void DrawFields(const Scene& scene);
  void DrawFound(const Scene& scene);
  void Search(const Scene& scene, const std::string& folder, const SeriesFilter& filter);
  void Walk(const Scene& scene);
  void StopHere(const Scene& scene);

  const SheetCalls& calls_;
  TypedTexts typed_;
  StretchQuery query_;  // its names as they were typed
  bool changed_ = false;
  bool wants_field_ = false;
  std::vector<Stretch> found_;
  std::string said_;  // what became of looking
  JobHandle looking_;
  int asked_ = 0;
  StretchWalk walk_;
};

}  // namespace afterscope
