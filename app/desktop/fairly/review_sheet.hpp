// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/fairly/fair_desk.hpp"
#include "app/desktop/scene.hpp"

namespace afterscope {

// The sheet of the review: which one is open and how it is closed, the others of the case, how one of them
// differs, and what a further one would be.
void DrawReviewSheet(FairDesk& desk, const Scene& scene);

}  // namespace afterscope
