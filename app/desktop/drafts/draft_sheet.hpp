// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/bottom_line.hpp"
#include "app/desktop/drafts/draft_walk.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/sheet_calls.hpp"

#include <string>
#include <vector>

namespace afterscope {

// The sheet of drafts: a narration is taken in from a file, and what it suggests is gone through one draft
// after another, the picture beside it. Nothing enters the record without being accepted; each answer is one
// edit. One thread.
class DraftSheet {
 public:
  explicit DraftSheet(const SheetCalls& calls) : calls_(calls) {}

  // Takes a narration into the open case, in the background; shows the sheet then.
  void TakeNarration(const std::string& path, const StepList& steps);
  // While the sheet is open its keys hold here; false: not one of them.
  bool Do(const std::string& action, const Scene& scene);
  // Once a frame. shown: the sheet is open, so that the picture goes along.
  void Follow(const Scene& scene, bool shown);
  void Draw(const Scene& scene);
  std::vector<KeyHint> Hints(const Scene& scene) const;
  void Forget() { walk_ = {}; }

 private:
  void Accept(const Scene& scene, const Draft& draft);
  void DrawCard(const Scene& scene, const Draft& draft);
  void DrawList(const Scene& scene);
  void GoTo(const Scene& scene);

  const SheetCalls& calls_;
  DraftWalk walk_;
  bool shown_ = false;
  bool scroll_ = false;  // the list follows the draft before the eyes
};

}  // namespace afterscope
