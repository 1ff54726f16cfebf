// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/picture/picture_view.hpp"
#include "app/desktop/scene.hpp"

#include <vector>

namespace afterscope {

// Every action of the key map with its keys, grouped by what one is doing, in as many columns as there is
// room for.
void DrawKeyList(const Scene& scene, const ScreenRect& area);

// In which of the columns each group stands: in order, none split, the highest column as low as it can be.
// `rows`: how many each takes. Pure.
std::vector<int> ColumnsOfGroups(const std::vector<int>& rows, int columns);

}  // namespace afterscope
