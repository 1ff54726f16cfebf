// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "app/desktop/key_map.hpp"

namespace afterscope {

// Whether a key belongs to the text field that has the cursor: it types, moves within the text or takes some
// of it away, copies, pastes, undoes, or leaves the field. What else does something goes on doing it:
// function keys, and with Ctrl or Alt what a field has no use for. Ctrl and Alt together type signs on some
// keyboards. Pure.
bool IsForField(const KeyChord& chord);

}  // namespace afterscope
