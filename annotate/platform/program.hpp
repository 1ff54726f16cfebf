// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace afterscope {

// The folder that holds the running program's own file; empty where the system does not tell.
std::string ProgramFolder();

}  // namespace afterscope
