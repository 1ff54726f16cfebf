// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "annotate/case/edit.hpp"

#include <optional>

namespace afterscope {

// What the keys and the menu of a visit do beyond annotate/case/tagging.hpp, as groups of edits to commit.

// The visit that is meant at a frame: `about` where it is there, else the one that runs in the first lane,
// else in the second. Null: none.
const StepVisit* VisitMeant(const Review& review, FrameRef at, const std::optional<VisitId>& about);

// The visit meant starts at `at`; where none is meant, the next one of the first lane. A neighbour that
// shares the edge moves with it.
Result<EditGroup> StartsHere(const Review& review, FrameRef at, const std::optional<VisitId>& about);
// The visit meant ends at `at`; where none is meant, the last one of the first lane that ended before.
Result<EditGroup> EndsHere(const Review& review, FrameRef at, const std::optional<VisitId>& about);
Result<EditGroup> RemoveVisit(const Review& review, FrameRef at, const std::optional<VisitId>& about);
// Who operated in it; an empty code: whoever the case says.
Result<EditGroup> SetOperator(const Review& review, const VisitId& visit, const std::string& code);

}  // namespace afterscope
