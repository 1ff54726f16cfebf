// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/cases_state.hpp"

namespace afterscope {

// The fields of the case: who, what eye, what was planned, how the picture lies, what was consented to,
// and what is entered later. None is demanded. While they are open, the picture carries its labels (nasal,
// temporal, superior, inferior).
void DrawCaseFields(CasesState& state, const Scene& scene, EditQueue& edits);

}  // namespace afterscope
