// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace afterscope {

// The folder that holds the running program's own file; empty where the system does not tell.
std::string ProgramFolder();

// From now on neither this process nor the system writes its memory to disk when it crashes: there may be
// pictures and words of a case in it. Other programs of the user can't look into it any more either.
void KeepNoCrashDumps();

}  // namespace afterscope
