// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

bool StandardErrorIsTerminal();

// From now on an interrupt (Ctrl-C) or a request to end only sets Interrupted; the second one ends the
// program.
void CatchInterrupts();
bool Interrupted();

}  // namespace afterscope
