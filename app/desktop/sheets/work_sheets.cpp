// SPDX-License-Identifier: Apache-2.0
#include "app/desktop/sheets/work_sheets.hpp"

namespace afterscope {

bool WorkSheets::Do(SheetKind open, const std::string& action, const Scene& scene) {
  if (open == SheetKind::kDrafts && drafts_.Do(action, scene)) return true;
  if (action != "leave" || open < SheetKind::kScores) return false;
  calls_.show(SheetKind::kSteps);
  return true;
}

std::vector<KeyHint> WorkSheets::Hints(SheetKind open, const Scene& scene) const {
  if (open == SheetKind::kDrafts) return drafts_.Hints(scene);
  return {};
}

void WorkSheets::Draw(SheetKind open, const Scene& scene) {
  if (open == SheetKind::kDrafts) drafts_.Draw(scene);
}

void WorkSheets::Follow(SheetKind open, const Scene& scene) {
  drafts_.Follow(scene, open == SheetKind::kDrafts);
}

void WorkSheets::Forget() { drafts_.Forget(); }

}  // namespace afterscope
