// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_panel.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/cases_state.hpp"
#include "app/desktop/sheets/day_panel.hpp"
#include "app/desktop/sheets/findings_state.hpp"
#include "app/desktop/sheets/sheet_kind.hpp"
#include "app/desktop/sheets/steps_state.hpp"

namespace afterscope {

struct SheetState {
  SheetKind kind = SheetKind::kSteps;
  bool folded = false;
  CasesState cases;
  DayState day;
  StepsState steps;
  FindingsState findings;
};

// The words at the top edge with their keys, in as many lines as they need. Pressing the chosen one folds the
// sheet.
void DrawSheetWords(SheetState& state, const Scene& scene, float width);
float SheetWordsHeight(const Look& look, const KeyMap& keys, float width);

void DrawCasesSheet(CasesState& state, const DayState& day, const Scene& scene, EditQueue& edits);
void DrawStepsSheet(StepsState& state, const Scene& scene, EditQueue& edits);
void DrawMarksSheet(PictureState& picture, const Scene& scene, EditQueue& edits);
void DrawFindingsSheet(FindingsState& state, const Scene& scene, EditQueue& edits);

}  // namespace afterscope
