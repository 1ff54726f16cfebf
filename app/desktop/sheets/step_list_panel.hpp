// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/scene.hpp"
#include "app/desktop/sheets/steps_state.hpp"

namespace afterscope {

// The step list of the case, to be changed: names, keys, order, new steps, checks as they are. It is kept as
// a file in the case folder, and can be taken from or written to any other.
void DrawStepListPanel(StepsState& state, const Scene& scene);

}  // namespace afterscope
