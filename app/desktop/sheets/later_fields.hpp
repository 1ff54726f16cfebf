// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/jobs/series/series_outcome_table.hpp"
#include "annotate/store/step_list_file.hpp"
#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/text_field.hpp"

#include <vector>

namespace afterscope {

// What is entered of a case once it is known, by assets/outcomes.json.
struct LaterWords {
  KnownColumns known;
  std::vector<NamedKey> follow_ups;
};
LaterWords LoadLaterWords();

// Outcomes, what series count by, and what has to be looked at again: planned by a press for its usual
// window, taken back by another.
void DrawLaterFields(TypedTexts& typed, const LaterWords& words, const Scene& scene, EditQueue& edits);

}  // namespace afterscope
