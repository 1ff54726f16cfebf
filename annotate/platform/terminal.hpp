// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace afterscope {

bool StandardErrorIsTerminal();
bool StandardOutputIsTerminal();

// From now on an interrupt (Ctrl-C) or a request to end only sets Interrupted; another one ends the
// program, unless it comes within a second or two.
void CatchInterrupts();
bool Interrupted();

}  // namespace afterscope
