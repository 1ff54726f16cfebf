// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/findings_state.hpp"

namespace afterscope {

// The words of the report's first page, which only people can say: the trainee's own view, two strengths, one
// change, one drill with its date. Folded away until asked for.
void DrawReportWords(FindingsState& state, const Scene& scene, EditQueue& edits);

}  // namespace afterscope
