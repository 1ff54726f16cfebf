// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/work_sheets.hpp"

namespace afterscope {

bool WorkSheets::Do(SheetKind open, const std::string& action, const Scene& scene) {
  if (open == SheetKind::kDrafts && drafts_.Do(action, scene)) return true;
  if (open == SheetKind::kClips && clips_.Do(action, scene)) return true;
  if (open == SheetKind::kSeries && series_.Do(action, scene)) return true;
  if (open == SheetKind::kScores && scores_.Do(action, scene)) return true;
  if (action != "leave" || open < SheetKind::kScores) return false;
  calls_.show(SheetKind::kSteps);
  return true;
}

bool WorkSheets::Press(SheetKind open, const KeyChord& chord, const Scene& scene) {
  return open == SheetKind::kScores && scores_.Press(chord, scene);
}

void WorkSheets::DrawOver(const Scene& scene, const ScreenRect& picture) {
  clips_.DrawOver(scene, picture);
  series_.DrawOver(scene, picture);
}

bool WorkSheets::DoAnywhere(const std::string& action, const Scene& scene) {
  return clips_.DoAnywhere(action, scene);
}

std::vector<KeyHint> WorkSheets::Hints(SheetKind open, const Scene& scene) const {
  if (open == SheetKind::kClips) return clips_.Hints(scene);
  if (open == SheetKind::kSeries) return series_.Hints(scene);
  if (open == SheetKind::kScores) return scores_.Hints(scene);
  if (open == SheetKind::kDrafts) return drafts_.Hints(scene);
  return {};
}

void WorkSheets::Draw(SheetKind open, const Scene& scene) {
  if (open == SheetKind::kDrafts) drafts_.Draw(scene);
  if (open == SheetKind::kClips) clips_.Draw(scene);
  if (open == SheetKind::kSeries) series_.Draw(scene);
  if (open == SheetKind::kScores) scores_.Draw(scene);
}

void WorkSheets::Follow(SheetKind open, const Scene& scene) {
  drafts_.Follow(scene, open == SheetKind::kDrafts);
  clips_.Follow(scene, open == SheetKind::kClips);
  series_.Follow(scene, open == SheetKind::kSeries);
  scores_.Follow(scene, open == SheetKind::kScores);
}

void WorkSheets::Forget() {
  drafts_.Forget();
  clips_.Forget();
}

}  // namespace afterscope
